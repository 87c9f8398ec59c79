package interview

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"filmfault/internal/prompt"
	"filmfault/internal/rulebase"
)

// mostMatches is how many matches are offered for the words of "add".
const mostMatches = 5

// The choices under the matches.
const (
	asNote  = "(note)"
	nothing = "(nothing)"
)

// add lets the person tell something that was not asked, or change an answer:
// words lead to the question they fit, or are kept as a note.
func (v *visit) add(ctx context.Context) error {
	text, err := v.prompter.Line(ctx, prompt.LineAsk{
		ID: "add", Title: "What do you want to add? A word or two will find its question.",
		How:     "To keep your words as they are, type: note, and then the words.",
		Example: "blister water", Optional: true, Allow: prompt.Allow{Back: true},
	})
	if c, ok := instead(err); ok && c == prompt.Back {
		return nil
	}
	if err != nil || text == "" {
		return err
	}
	if note, ok := plainNote(text); ok {
		v.note(note)
		v.prompter.Say("The note is kept.")
		return nil
	}
	return v.addFrom(ctx, text, v.search(text))
}

// plainNote is the text of a note typed as "note: words".
func plainNote(text string) (string, bool) {
	const mark = "note"
	if len(text) <= len(mark) || !strings.EqualFold(text[:len(mark)], mark) || !strings.ContainsRune(" :", rune(text[len(mark)])) {
		return "", false
	}
	note := strings.TrimLeft(text[len(mark):], " :")
	return note, note != ""
}

// addFrom offers the questions found for some words.
func (v *visit) addFrom(ctx context.Context, text string, found []ref) error {
	if len(found) == 0 {
		v.note(text)
		v.prompter.Say(fmt.Sprintf("No question fits %q. The words are kept as a note.", text))
		return nil
	}
	a := prompt.Ask{ID: "add-which", Title: "Which of these is it?"}
	for _, r := range found {
		a.Choices = append(a.Choices, prompt.Choice{ID: r.id, Text: v.offered(r)})
	}
	a.Choices = append(a.Choices,
		prompt.Choice{ID: asNote, Text: "Keep my words as a note"},
		prompt.Choice{ID: nothing, Text: "None of these, go on"})
	reply, err := v.prompter.Ask(ctx, a)
	if err != nil {
		return err
	}
	switch reply.Choice {
	case asNote:
		v.note(text)
		v.prompter.Say("The note is kept.")
		return nil
	case nothing:
		return nil
	}
	at := slices.IndexFunc(found, func(r ref) bool { return r.id == reply.Choice })
	q, _ := v.questionFor(found[at])
	q.added = true
	return v.ask(ctx, q)
}

func (v *visit) offered(r ref) string {
	q, _ := v.questionFor(r)
	if before := v.before(r); before != "" {
		return fmt.Sprintf("%s (so far: %s)", q.title, before)
	}
	return q.title
}

// search finds the questions that fit some words best.
func (v *visit) search(text string) []ref {
	words := wordsOf(text)
	type match struct {
		ref   ref
		score int
	}
	var matches []match
	for _, r := range v.addable() {
		if s := v.score(r, words); s >= leastScore(words) {
			matches = append(matches, match{r, s})
		}
	}
	slices.SortStableFunc(matches, func(a, b match) int { return b.score - a.score })
	var out []ref
	for _, m := range matches[:min(mostMatches, len(matches))] {
		out = append(out, m.ref)
	}
	return out
}

// addable lists everything that can be answered in this case: findings that
// make sense, failures and facts.
func (v *visit) addable() []ref {
	var out []ref
	for _, g := range v.base.Failures() {
		out = append(out, ref{aFailure, g.ID})
	}
	ev, err := v.evaluate()
	for _, f := range v.base.Findings {
		if err != nil || ev.Askable(f) {
			out = append(out, ref{aFinding, f.ID})
		}
	}
	for _, f := range v.base.Facts {
		out = append(out, ref{aFact, f.ID})
	}
	return out
}

// What a word is worth by where it stands. A question that has more of the
// words comes first in any case.
const (
	perWord   = 10
	inTitle   = 3
	inID      = 2
	inAnswers = 1
)

// leastScore is the score below which a question does not fit the words: half
// of them, rounded up, must be in it, and one of them in its title or id.
func leastScore(words []string) int {
	found := (len(words) + 1) / 2
	return max(1, found)*(perWord+inAnswers) + inID - inAnswers
}

func (v *visit) score(r ref, words []string) int {
	q, _ := v.questionFor(r)
	title := q.title
	if g, ok := v.base.Gate(r.id); ok {
		title += " " + g.Title
	}
	places := []struct {
		words []string
		worth int
	}{
		{wordsOf(title), inTitle},
		{wordsOf(strings.ReplaceAll(r.id, "-", " ")), inID},
		{wordsOf(answersText(q.answers)), inAnswers},
	}
	total := 0
	for _, w := range words {
		worth := 0
		for _, p := range places {
			if slices.ContainsFunc(p.words, func(other string) bool { return alike(w, other) }) {
				worth += p.worth
			}
		}
		if worth > 0 {
			total += perWord + worth
		}
	}
	return total
}

func answersText(answers []rulebase.Answer) string {
	var b strings.Builder
	for _, a := range answers {
		b.WriteString(a.Text + " ")
	}
	return b.String()
}

// stem is how many letters two words must share, at least, to be alike.
const stem = 4

// alike reports whether one word begins with the other, as "blister" and
// "blisters" do, or both with all but their ends, as "peeling" and "peels".
func alike(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	if a == b {
		return true
	}
	if len(a) < stem {
		return false
	}
	return strings.HasPrefix(b, a) || strings.HasPrefix(b, a[:max(stem, len(a)-1)]) && len(b)-len(a) <= 3
}

// wordsOf takes a text apart into words that mean something.
func wordsOf(text string) []string {
	var out []string
	for w := range strings.FieldsFuncSeq(strings.ToLower(text), func(r rune) bool {
		return !('a' <= r && r <= 'z' || '0' <= r && r <= '9' || r > 127)
	}) {
		if len(w) > 1 && !slices.Contains(fillers(), w) && !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	return out
}

func fillers() []string {
	return []string{"the", "an", "of", "is", "it", "in", "on", "or", "to", "and", "was", "did", "do", "does", "are",
		"at", "by", "for", "from", "with", "that", "this", "has", "have", "be", "its", "what", "how", "which", "when"}
}
