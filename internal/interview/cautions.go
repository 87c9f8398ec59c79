package interview

import (
	"context"
	"slices"
	"strings"

	"filmfault/internal/casefile"
	"filmfault/internal/rulebase"
)

// Facts that the conversation itself goes by, where the rules have them.
const (
	factMayCut   = "may-cut"
	mayCutYes    = "yes"
	factOverhead = "overhead"
)

// cautionsFor is the text of the cautions before a step.
func (v *visit) cautionsFor(ids []string) string {
	var parts []string
	for _, id := range ids {
		if text := v.cautionText(id); text != "" {
			parts = append(parts, text)
		}
	}
	return strings.Join(parts, " ")
}

// cautionText is a caution in full the first time, and its first sentence after
// that or where the safety look found no such danger.
func (v *visit) cautionText(id string) string {
	c, ok := v.base.Caution(id)
	if ok && (v.told[id] || v.dismissed(id)) {
		return firstSentence(c.Text)
	}
	return c.Text
}

// dismissed reports whether a caution is one that the safety look asks after,
// and the answer was for certain that there is no such danger.
func (v *visit) dismissed(id string) bool {
	asked := false
	for _, f := range v.base.Facts {
		if f.Stage != rulebase.StageSafety || !slices.Contains(allCautions(f.Answers), id) {
			continue
		}
		asked = true
		e := v.entry(ref{aFact, f.ID})
		if e == nil || slices.Contains(dangers(f, *e), id) {
			return false
		}
	}
	return asked
}

func firstSentence(text string) string {
	if before, _, ok := strings.Cut(text, ". "); ok {
		return before + "."
	}
	return text
}

func (v *visit) markTold(ids []string) {
	for _, id := range ids {
		v.told[id] = true
	}
}

// sayCautions says cautions on their own, in full.
func (v *visit) sayCautions(ids []string) {
	for _, id := range ids {
		if c, ok := v.base.Caution(id); ok {
			v.prompter.Say("Caution: " + c.Text)
		}
	}
	v.markTold(ids)
}

// mayCut reports whether leave to cut was given for certain. Rules that do not
// ask for leave give it.
func (v *visit) mayCut() bool {
	_, asked := v.base.Fact(factMayCut)
	return !asked || v.known(factMayCut) == mayCutYes
}

// harmless reports whether a finding leaves no damage.
func harmless(f rulebase.Finding) bool {
	return f.Stage != rulebase.StageCut && (f.Damage == "" || f.Damage == "none")
}

// raised lists the cautions that the safety look raised, each to be seen to
// before the piece is touched or cut where the caution belongs.
func (v *visit) raised() []hazard {
	var out []hazard
	for _, f := range v.base.Facts {
		e := v.entry(ref{aFact, f.ID})
		if f.Stage != rulebase.StageSafety || e == nil {
			continue
		}
		for _, c := range dangers(f, *e) {
			out = append(out, hazard{f.ID, c})
		}
	}
	return out
}

// hazard is a caution raised by the answer to a safety fact.
type hazard struct{ fact, caution string }

// dangers lists the cautions of an answer to a safety fact; of all answers
// when it is not certain.
func dangers(f rulebase.Fact, e casefile.Entry) []string {
	if at, ok := rulebase.AnswerIndex(f.Answers, e.Answer); ok && e.Sure == "" {
		return f.Answers[at].Cautions
	}
	return allCautions(f.Answers)
}

// dangersOf lists the raised cautions that stand before touching or cutting
// for a finding. A piece loose overhead is not touched at all at the sign.
func (v *visit) dangersOf(f rulebase.Finding) []string {
	if f.Stage != rulebase.StageTouch && f.Stage != rulebase.StageCut {
		return nil
	}
	var out []string
	for _, h := range v.raised() {
		overhead := h.fact == factOverhead && v.where == rulebase.AtSign
		if overhead || slices.Contains(f.Cautions, h.caution) {
			out = append(out, h.caution)
		}
	}
	return out
}

// barred reports whether the person said that a danger of the finding was not
// seen to.
func (v *visit) barred(f rulebase.Finding) bool {
	return slices.ContainsFunc(v.dangersOf(f), func(c string) bool {
		seenTo, answered := v.safe[c]
		return answered && !seenTo
	})
}

// makeSafe asks about one danger of a finding that was not asked about yet in
// this visit, and says whether it did.
func (v *visit) makeSafe(ctx context.Context, f rulebase.Finding) (asked bool, err error) {
	for _, id := range v.dangersOf(f) {
		c, ok := v.base.Caution(id)
		if _, answered := v.safe[id]; answered || !ok {
			continue
		}
		if !v.told[id] {
			v.sayCautions([]string{id})
		}
		yes, err := v.prompter.Confirm(ctx, firstSentence(c.Text)+" Has that been seen to, so that the piece may be touched and cut?")
		if err != nil {
			return true, err
		}
		v.safe[id] = yes
		if !yes {
			v.prompter.Say("Then the questions that would need it are left out.")
		}
		return true, nil
	}
	return false, nil
}

// tellCutting says once, before the first cut, what a cut does. The cautions
// stand with the question.
func (v *visit) tellCutting(f rulebase.Finding) {
	if f.Stage != rulebase.StageCut || v.cuttingTold {
		return
	}
	v.cuttingTold = true
	v.prompter.Say("From here on the questions cut into the finish. A cut goes through the film for good and lets water in " +
		"until it is touched up. Photograph the spot with a rule first, cut where it failed and once beside it where it " +
		"is sound, and keep the chips in numbered paper.")
}
