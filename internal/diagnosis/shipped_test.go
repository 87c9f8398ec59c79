package diagnosis_test

import (
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"filmfault/casebook"
	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

func TestShippedRulesAreWideEnough(t *testing.T) {
	b := shippedRules(t).Base
	causes, findings, measurements := 0, 0, 0
	for _, e := range b.Events {
		if e.Cause {
			causes++
		}
	}
	for _, f := range b.Findings {
		if f.Measurement == nil {
			findings++
		} else {
			measurements++
		}
	}
	for _, c := range []struct {
		what        string
		have, least int
	}{{"causes", causes, 45}, {"findings", findings, 70}, {"measurements", measurements, 25}} {
		if c.have < c.least {
			t.Errorf("%d %s, and %d are wanted", c.have, c.what, c.least)
		}
	}
}

func TestEveryCauseIsWhole(t *testing.T) {
	b := shippedRules(t).Base
	for _, e := range b.Events {
		if !e.Cause {
			continue
		}
		for what, text := range map[string]string{"title": e.Title, "mechanism": e.Mechanism, "basis": e.Basis, "repair": e.Repair, "prevention": e.Prevent} {
			if strings.TrimSpace(text) == "" {
				t.Errorf("%s has no %s", e.ID, what)
			}
		}
		for _, r := range e.Rate {
			if r.Rate <= 0 || r.Rate >= 1 {
				t.Errorf("%s has the base rate %v", e.ID, r.Rate)
			}
		}
		if len(e.Confirm) == 0 {
			t.Errorf("%s has no measurement to confirm it", e.ID)
		}
		for _, c := range e.Confirm {
			if f, _ := b.Finding(c.Measurement); f.Measurement == nil || f.Measurement.Decides == "" || f.Measurement.Method == "" {
				t.Errorf("%s: %s does not say how it is done and what decides", e.ID, c.Measurement)
			}
		}
	}
}

func TestEveryCauseCanBeToldFromItsRivals(t *testing.T) {
	for _, d := range shippedRules(t).Base.Separation() {
		t.Error(d)
	}
}

// only is a sheet with one failure seen and no more.
func only(failure string) diagnosis.Sheet {
	return diagnosis.Sheet{Facts: rulebase.Facts{}, Failures: map[string]string{failure: rulebase.StateSeen}}
}

// with is a sheet with one more answer, held for certain.
func with(s diagnosis.Sheet, f rulebase.Finding, answer int) diagnosis.Sheet {
	weights := make([]float64, len(f.Answers))
	weights[answer] = 1
	s.Answers = append(slices.Clone(s.Answers), diagnosis.Answered{
		Finding: f.ID, Answer: f.Answers[answer].ID, Shown: f.Answers[answer].Text, Sure: 1, Weights: weights,
	})
	return s
}

// factFitting is one set of facts under which a finding makes sense.
func factFitting(f rulebase.Finding) rulebase.Facts {
	out := rulebase.Facts{}
	for _, n := range f.Needs {
		out[n.ID] = n.Answers[0]
	}
	return out
}

// askable reports whether the finding makes sense with this failure alone seen.
func askable(b *rulebase.Base, f rulebase.Finding, failure string) bool {
	for _, n := range f.Needs {
		if g, ok := b.Gate(n.ID); ok && g.Failure != nil && (g.ID != failure || n.Answers[0] != rulebase.StateSeen) {
			return false
		}
	}
	return len(f.NeedsAny) == 0 || slices.Contains(f.NeedsAny, failure)
}

// No single answer settles a cause for certain, whatever failure was seen.
func TestNoAnswerSettlesACause(t *testing.T) {
	r := shippedRules(t)
	for _, g := range r.Base.Failures() {
		for _, f := range r.Base.Findings {
			if !askable(r.Base, f, g.ID) || !touches(r.Base, f, g.ID) {
				continue
			}
			s := only(g.ID)
			for id, answer := range factFitting(f) {
				if _, isFact := r.Base.Fact(id); isFact {
					s.Facts[id] = answer
				}
			}
			for a := range f.Answers {
				unsettled(t, evaluate(t, r, with(s, f, a)), fmt.Sprintf("%s seen and %s=%s", g.ID, f.ID, f.Answers[a].ID))
			}
		}
	}
}

func unsettled(t *testing.T, e *diagnosis.Evaluation, when string) {
	t.Helper()
	for _, x := range e.Ranking() {
		if x.Present <= 0 || x.Present >= 1 || math.IsNaN(x.Present) {
			t.Errorf("%s is present with probability %v, with %s", x.Cause.ID, x.Present, when)
		}
	}
}

// events lists what a finding's answer depends on.
func events(f rulebase.Finding) []string {
	var out []string
	for _, r := range f.Rows {
		for _, e := range r.If {
			out = append(out, e.ID)
		}
	}
	for _, in := range f.AnyOf {
		out = append(out, in.ID)
	}
	return out
}

// touches reports whether a finding bears on a failure.
func touches(b *rulebase.Base, f rulebase.Finding, failure string) bool {
	return slices.ContainsFunc(events(f), func(id string) bool { return slices.Contains(b.Trees(id), failure) })
}

// A failure seen and nothing else known is explained by the rules, mostly.
func TestEveryFailureIsExplained(t *testing.T) {
	r := shippedRules(t)
	for _, g := range r.Base.Failures() {
		e := evaluate(t, r, only(g.ID))
		if l := e.Leader(); l.Contributed <= 0.05 {
			t.Errorf("%s: the leading cause %s contributes only %.3f", g.ID, l.Cause.ID, l.Contributed)
		}
		for _, u := range e.Unlisted() {
			if u.Contributed >= 0.35 {
				t.Errorf("%s: unlisted %.2f", g.ID, u.Contributed)
			}
		}
	}
}

// Every cause has answers of its own that bring it to the head of a ranking:
// those that confirm it, and the likeliest one of each finding that names it.
func TestEveryCauseCanLead(t *testing.T) {
	r := shippedRules(t)
	for _, c := range r.Base.Events {
		if !c.Cause {
			continue
		}
		var heads []string
		led := false
		for _, failure := range r.Base.Trees(c.ID) {
			e := evaluate(t, r, tellingSheet(r.Base, c, failure))
			head := leading(e, 2)
			led = led || slices.Contains(head, c.ID)
			heads = append(heads, fmt.Sprintf("%s: %v", failure, head))
		}
		if !led {
			t.Errorf("%s never comes first or second with its own answers; %v", c.ID, heads)
		}
	}
}

// tellingSheet is the case that speaks most plainly for a cause.
func tellingSheet(b *rulebase.Base, c rulebase.Event, failure string) diagnosis.Sheet {
	s := only(failure)
	s.Facts = factsFor(c)
	for _, f := range b.Findings {
		answer := tellingAnswer(b, f, c)
		if answer < 0 || !askable(b, f, failure) {
			continue
		}
		for _, n := range f.Needs {
			if _, isFact := b.Fact(n.ID); isFact && s.Facts[n.ID] == "" {
				s.Facts[n.ID] = n.Answers[0]
			}
		}
		if diagnosis.Applies(f, s) != diagnosis.No {
			s = with(s, f, answer)
		}
	}
	return s
}

// factsFor is the facts under which a cause is commonest.
func factsFor(c rulebase.Event) rulebase.Facts {
	best, at := -1.0, rulebase.Facts{}
	for _, row := range c.Rate {
		if row.Rate <= best {
			continue
		}
		best, at = row.Rate, rulebase.Facts{}
		for _, w := range row.When {
			at[w.ID] = w.Answers[0]
		}
	}
	return at
}

// tellingAnswer is the answer of a finding that tells most for a cause, or -1:
// the confirming one, or the likeliest of a row that hangs on the cause alone.
func tellingAnswer(b *rulebase.Base, f rulebase.Finding, c rulebase.Event) int {
	for _, x := range c.Confirm {
		if x.Measurement == f.ID {
			at, _ := rulebase.AnswerIndex(f.Answers, x.Answers[0])
			return at
		}
	}
	if slices.ContainsFunc(f.AnyOf, func(in rulebase.Input) bool { return in.ID == c.ID }) {
		return 0
	}
	for _, r := range f.Rows {
		if len(r.If) != 1 || r.If[0].ID != c.ID || len(r.When) > 0 {
			continue
		}
		best, gain := -1, 1.0
		for a, p := range r.Say {
			if g := p / f.Rows[len(f.Rows)-1].Say[a]; g > gain {
				best, gain = a, g
			}
		}
		return best
	}
	return -1
}

// A step that cuts, wets, rubs with solvent, heats or blasts has its caution.
func TestDangerousStepsHaveTheirCaution(t *testing.T) {
	for _, f := range shippedRules(t).Base.Findings {
		need := func(caution, why string) {
			if !slices.Contains(f.Cautions, caution) {
				t.Errorf("%s %s and lacks the caution %s", f.ID, why, caution)
			}
		}
		tools := strings.ToLower(strings.Join(f.Tools, ", "))
		atSign := slices.Contains(f.Where, rulebase.AtSign)
		if atSign && (f.Stage == rulebase.StageCut || f.Damage == "cut") {
			need("wiring", "cuts into a piece that may be wired")
		}
		for word, caution := range map[string]string{
			"knife": "blade", "blade": "blade", "solvent": "solvent-fire", "spirit": "solvent-fire", "mek": "solvent-fire", "thinner": "solvent-fire",
			"lamp": "heat-burn", "hair dryer": "heat-burn", "warm box": "heat-burn", "blast pot": "blasting-dust",
			"saw": "eye-and-hand", "drill": "eye-and-hand", "plug cutter": "blade", "sandpaper": "sanding-dust",
		} {
			if hasWord(tools, word) {
				need(caution, "takes "+word)
			}
		}
	}
}

func hasWord(text, word string) bool {
	return regexp.MustCompile(`\b` + regexp.QuoteMeta(word) + `\b`).MatchString(text)
}

// texts lists all prose of the rules, each with where it stands.
func texts(b *rulebase.Base) map[string]string {
	out := map[string]string{}
	add := func(at string, parts ...string) { out[at] = strings.Join(parts, "\n") }
	answers := func(list []rulebase.Answer) string {
		var all []string
		for _, a := range list {
			all = append(all, a.Text)
		}
		return strings.Join(all, "\n")
	}
	for _, c := range b.Cautions {
		add(c.ID, c.Text, c.Short)
	}
	for _, f := range b.Facts {
		add(f.ID, f.Question, f.How, answers(f.Answers))
	}
	for _, e := range b.Events {
		add(e.ID, e.Title, e.Mechanism, e.Repair, e.Prevent)
	}
	for _, g := range b.Gates {
		add(g.ID, g.Title)
		if g.Failure != nil {
			add(g.ID, g.Title, g.Failure.Question, g.Failure.How, g.Failure.MakeSafe, g.Failure.Temporary, g.Failure.Never)
		}
	}
	for _, f := range b.Findings {
		add(f.ID, f.Question, f.How, f.Why, answers(f.Answers))
		if f.Measurement != nil {
			add(f.ID, f.Question, f.How, f.Why, answers(f.Answers), f.Measurement.Method, f.Measurement.Decides)
		}
	}
	return out
}

// forbidden is what no text of the rules or of a case may say: promises of
// safety, blame, proof without a reading, a standard stretched past its scope.
func forbidden() []string {
	return []string{
		"safe to hang", "no structural risk", "structurally safe", "defective product", "faulty product", "bad product",
		"just retouch", "simply retouch", "per astm", "per iso", "proved that", "this proves", "proven", "proof that",
		"not moisture because", "must be dry", "is surely", "to blame is", "should pay", "must pay", "liable", "guarantee",
	}
}

// brands is how a brand shows itself: no list of names could be whole, nor
// should one stand here.
func brands() []string { return []string{"®", "™", "(tm)", " inc.", " brand"} }

func TestNoTextSaysWhatMustNotBeSaid(t *testing.T) {
	all := texts(shippedRules(t).Base)
	for _, c := range casesShipped(t) {
		all["case "+c.ID] = c.Title + "\n" + c.Notes
		if c.Verdict != nil {
			all["case "+c.ID] += "\n" + c.Verdict.Note
		}
	}
	for at, text := range all {
		low := strings.ToLower(text)
		for _, phrase := range slices.Concat(forbidden(), brands()) {
			if strings.Contains(low, phrase) {
				t.Errorf("%s says %q", at, phrase)
			}
		}
	}
}

// A question is one plain sentence.
func TestQuestionsAreOneSentence(t *testing.T) {
	b := shippedRules(t).Base
	ask := map[string]string{}
	for _, f := range b.Facts {
		ask[f.ID] = f.Question
	}
	for _, g := range b.Failures() {
		ask[g.ID] = g.Failure.Question
	}
	for _, f := range b.Findings {
		ask[f.ID] = f.Question
	}
	inner := regexp.MustCompile(`[?!;]|[a-z]\. `)
	for id, q := range ask {
		body, ends := strings.CutSuffix(q, "?")
		if !ends || inner.MatchString(body) || len(q) > 120 {
			t.Errorf("%s asks (%d letters): %s", id, len(q), q)
		}
	}
}

// A printed page has room for one sentence of each caution.
func TestCautionsHaveAShortForm(t *testing.T) {
	for _, c := range shippedRules(t).Base.Cautions {
		if c.Short == c.Text || len(c.Short) > 95 || strings.Count(c.Short, ". ") > 0 {
			t.Errorf("%s has no short form of one sentence: %q", c.ID, c.Short)
		}
	}
}

func casesShipped(t *testing.T) []*casefile.Case {
	t.Helper()
	names, err := fs.Glob(casebook.FS, "*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var out []*casefile.Case
	for _, name := range names {
		if name == "jobs.yaml" { // the jobs done in each month, no case
			continue
		}
		f, err := casebook.FS.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		c, _, diags, err := casefile.Read(f, name)
		f.Close()
		if err != nil || len(diags) > 0 {
			t.Fatal(name, diags, err)
		}
		if c.ID+".yaml" != name {
			t.Errorf("%s holds the case %s", name, c.ID)
		}
		out = append(out, c)
	}
	return out
}

// The cases of the casebook are invented, whole, and right by the rules.
func TestCasebookIsWhole(t *testing.T) {
	r := shippedRules(t)
	cases := casesShipped(t)
	if len(cases) < 14 {
		t.Errorf("only %d cases", len(cases))
	}
	unlisted, noFault := 0, 0
	for _, c := range cases {
		t.Run(c.ID, func(t *testing.T) {
			if !c.Invented || !strings.HasPrefix(c.Title, "Invented: ") {
				t.Error("does not say that it is invented")
			}
			s := resolve(t, r.Base, c)
			if len(s.Skipped) > 0 {
				t.Errorf("answers that are no evidence: %v", s.Skipped)
			}
			if c.Verdict == nil {
				if c.ID != "harbour-cafe" {
					t.Error("has no verdict")
				}
				return
			}
			if c.Verdict.Unlisted {
				unlisted++
			}
			if c.Verdict.NoFault {
				noFault++
			}
			checkVerdict(t, r, c, evaluate(t, r, s))
		})
	}
	if unlisted == 0 || noFault == 0 {
		t.Errorf("%d cases with an unlisted cause and %d with no fault", unlisted, noFault)
	}
}

// checkVerdict checks that each cause was settled by a measurement that was
// taken, and that the confirmed one leads.
func checkVerdict(t *testing.T, r *diagnosis.Rules, c *casefile.Case, e *diagnosis.Evaluation) {
	t.Helper()
	if c.Verdict.Settled == "" {
		t.Error("the verdict has no date")
	}
	confirmed := ""
	for _, x := range c.Verdict.Causes {
		if x.State == casefile.NotExamined {
			continue
		}
		f, _ := r.Base.Finding(x.By)
		taken := casefile.Find(c.Findings, x.By)
		if f.Measurement == nil || taken == nil || taken.NotChecked {
			t.Errorf("%s is %s by %q, which was not measured", x.Cause, x.State, x.By)
			continue
		}
		cause, _ := r.Base.Event(x.Cause)
		met := slices.ContainsFunc(cause.Confirm, func(k rulebase.Confirmation) bool {
			return k.Measurement == x.By && slices.Contains(k.Answers, answered(e, x.By))
		})
		if met != (x.State == casefile.Confirmed) {
			t.Errorf("%s is %s, but %s read %s", x.Cause, x.State, x.By, answered(e, x.By))
		}
		if x.State == casefile.Confirmed {
			confirmed = x.Cause
		}
	}
	lead := e.Leader()
	switch {
	case c.Verdict.Unlisted && lead.Contributed >= 0.5:
		t.Errorf("unlisted, and %s is likely with %.2f", lead.Cause.ID, lead.Contributed)
	case !c.Verdict.Unlisted && lead.Cause.ID != confirmed:
		t.Errorf("%s was confirmed and %v lead", confirmed, leading(e, 3))
	}
}

func answered(e *diagnosis.Evaluation, finding string) string {
	for _, a := range e.Sheet.Answers {
		if a.Finding == finding {
			return a.Answer
		}
	}
	return ""
}

// Findings that are one observation are not both answered in a shipped case:
// the second would count the first again.
func TestCasesAnswerAnObservationOnce(t *testing.T) {
	b := shippedRules(t).Base
	cases := casesShipped(t)
	files, err := filepath.Glob(filepath.Join(trade, "*.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range files {
		cases = append(cases, openCase(t, path))
	}
	for _, c := range cases {
		first := map[string]string{}
		for _, x := range c.Findings {
			f, _ := b.Finding(x.ID)
			if f.Group == "" || x.NotChecked {
				continue
			}
			if other, twice := first[f.Group]; twice {
				t.Errorf("%s answers both %s and %s", c.ID, other, f.ID)
			}
			first[f.Group] = f.ID
		}
	}
}

// widest is how many nodes a diagram of the shipped rules may have on any case
// tried here: a tenth of what the engine refuses.
const widest = 200_000

func narrowEnough(t *testing.T, s diagnosis.Sheet, what string) {
	t.Helper()
	e, err := shippedRules(t).Evaluate(s)
	if err != nil {
		t.Errorf("%s: %v", what, err)
		return
	}
	if e.Size() > widest {
		t.Errorf("%s: %d nodes", what, e.Size())
	}
}

// Diagrams stay narrow on ordinary cases: two failures seen, others absent,
// fifteen answers drawn from those that bear on them.
func TestOrdinaryCasesAreNarrow(t *testing.T) {
	r := shippedRules(t)
	random := rand.New(rand.NewPCG(4, 2))
	failures := r.Base.Failures()
	for i, g := range failures {
		second := failures[(i+7)%len(failures)].ID
		s := only(g.ID)
		s.Failures[second] = rulebase.StateSeen
		for k := range 4 {
			if id := failures[(i+3*k+2)%len(failures)].ID; s.Failures[id] == "" {
				s.Failures[id] = rulebase.StateAbsent
			}
		}
		s = drawn(r.Base, s, []string{g.ID, second}, 15, random)
		narrowEnough(t, s, g.ID+" and "+second)
	}
}

func TestMarkingEveryFailureIsNarrow(t *testing.T) {
	r := shippedRules(t)
	for _, g := range r.Base.Failures() {
		s := only(g.ID)
		for _, other := range r.Base.Failures() {
			if other.ID != g.ID {
				s.Failures[other.ID] = rulebase.StateAbsent
			}
		}
		narrowEnough(t, s, g.ID)
	}
}

// drawn adds answers drawn at random from the findings that bear on failures.
func drawn(b *rulebase.Base, s diagnosis.Sheet, failures []string, n int, random *rand.Rand) diagnosis.Sheet {
	var open []rulebase.Finding
	for _, f := range b.Findings {
		bears := slices.ContainsFunc(failures, func(x string) bool { return touches(b, f, x) })
		if bears && diagnosis.Applies(f, s) != diagnosis.No {
			open = append(open, f)
		}
	}
	random.Shuffle(len(open), func(i, j int) { open[i], open[j] = open[j], open[i] })
	for _, f := range open[:min(n, len(open))] {
		s = with(s, f, random.IntN(len(f.Answers)))
	}
	return s
}

// No line of a rule file is longer than 118 letters.
func TestRuleFilesReadWell(t *testing.T) {
	files, err := filepath.Glob("../../rules/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range files {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		for i, line := range strings.Split(string(data), "\n") {
			if len([]rune(line)) > 118 {
				t.Errorf("%s:%d is %d letters long", path, i+1, len([]rune(line)))
			}
		}
	}
}
