package diagnosis_test

import (
	"errors"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
	"filmfault/rules"
)

// trade is where the rows of the trade are kept, one case each.
const trade = "../../testdata/trade"

// shipped is the built-in rule base, ready for cases.
var shipped = sync.OnceValues(func() (*diagnosis.Rules, error) {
	loaded, err := rulebase.Load(rulebase.Layer{Name: "rules", FS: rules.FS})
	if err != nil {
		return nil, err
	}
	if loaded.Diagnostics.HasErrors() {
		return nil, errors.New(loaded.Diagnostics[0].String())
	}
	return diagnosis.Prepare(loaded.Base)
})

func shippedRules(t *testing.T) *diagnosis.Rules {
	t.Helper()
	r, err := shipped()
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func openCase(t *testing.T, path string) *casefile.Case {
	t.Helper()
	store, diags, _, err := casefile.OpenFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if len(diags) > 0 {
		t.Fatal(diags[0])
	}
	return store.Case
}

func resolve(t *testing.T, b *rulebase.Base, c *casefile.Case) diagnosis.Sheet {
	t.Helper()
	sheet, diags := diagnosis.Resolve(b, c)
	for _, d := range diags {
		t.Errorf("%s: %v", c.ID, d)
	}
	return sheet
}

func evaluate(t *testing.T, r *diagnosis.Rules, s diagnosis.Sheet) *diagnosis.Evaluation {
	t.Helper()
	e, err := r.Evaluate(s)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// evaluateRow evaluates a row of the trade by its case's name. Each of its
// findings must be evidence: a row that its own facts silence proves nothing.
func evaluateRow(t *testing.T, name string) *diagnosis.Evaluation {
	t.Helper()
	r := shippedRules(t)
	s := resolve(t, r.Base, openCase(t, filepath.Join(trade, name+".yaml")))
	if len(s.Skipped) > 0 {
		t.Errorf("no evidence in this case: %v", s.Skipped)
	}
	return evaluate(t, r, s)
}

// causesOf lists the causes that are inputs of a gate.
func causesOf(t *testing.T, b *rulebase.Base, gate string) []string {
	t.Helper()
	g, ok := b.Gate(gate)
	if !ok {
		t.Fatalf("the rules have no gate %s", gate)
	}
	var out []string
	for _, in := range g.Inputs {
		if e, ok := b.Event(in.ID); ok && e.Cause {
			out = append(out, in.ID)
		}
	}
	return out
}

func contributed(e *diagnosis.Evaluation, cause string) float64 {
	for _, r := range e.Ranking() {
		if r.Cause.ID == cause {
			return r.Contributed
		}
	}
	return 0
}

// leading describes the head of a ranking for a failed test.
func leading(e *diagnosis.Evaluation, n int) []string {
	var out []string
	for _, r := range e.Ranking() {
		if len(out) == n {
			break
		}
		out = append(out, r.Cause.ID)
	}
	return out
}

// The rows of common practice, no source: rules of thumb of the trade for
// waterborne high-build primer on closed-cell urethane board. Each case holds
// only what its row says.
func TestRankingFollowsCommonPractice(t *testing.T) {
	damp := causesOf(t, shippedRules(t).Base, "primer-damp")
	tests := []struct {
		row    string
		leader []string // one of these leads
		damp   bool     // and damp primer, its causes summed, outweighs all else
	}{
		{row: "paper-balls", leader: damp, damp: true},
		{row: "blister-opened", leader: append([]string{"sun-before-cured"}, damp...)},
		{row: "dried-in-sun", leader: []string{"sun-before-cured"}},
		{row: "blast-mask-in-places", leader: damp, damp: true},
		{row: "router-mask-on-cut", leader: damp, damp: true},
		{row: "wrong-tack", leader: []string{"tack-too-low"}},
		{row: "foam-sleeve", leader: []string{"foam-sleeve"}},
		{row: "spatter", leader: []string{"dry-spray-cause"}},
		{row: "dry-spray", leader: []string{"dry-spray-cause"}},
		{row: "stood-then-painted", leader: []string{"retaken-moisture"}},
		{row: "stood-then-masked", leader: []string{"retaken-moisture"}},
		{row: "unprimed-board", leader: []string{"wrong-primer"}},
		{row: "unsuited-primer", leader: []string{"wrong-primer"}},
		{row: "bow-more-coats", leader: []string{"unequal-coats", "bare-back"}},
		{row: "bow-bare-back", leader: []string{"bare-back"}},
		{row: "spring-and-autumn", leader: []string{"cold-damp-still-air"}},
	}
	for _, test := range tests {
		t.Run(test.row, func(t *testing.T) {
			e := evaluateRow(t, "practice-"+test.row)
			if !slices.Contains(test.leader, e.Leader().Cause.ID) {
				t.Errorf("led by %v, not by one of %v", leading(e, 3), test.leader)
			}
			if test.damp {
				dampLeads(t, e, damp)
			}
		})
	}
}

// dampLeads checks that the stories with a cause of damp primer in them are
// together likelier than those without.
func dampLeads(t *testing.T, e *diagnosis.Evaluation, damp []string) {
	t.Helper()
	sum, other := 0.0, 0.0
	for _, r := range e.Ranking() {
		if slices.Contains(damp, r.Cause.ID) {
			sum += r.Contributed
		} else {
			other += r.Contributed
		}
	}
	for _, u := range e.Unlisted() {
		other += u.Contributed
	}
	if sum <= other {
		t.Errorf("damp primer comes to %.2f, all else to %.2f", sum, other)
	}
	stories, err := e.Stories()
	if err != nil {
		t.Fatal(err)
	}
	if !slices.ContainsFunc(stories[0].Causes, func(c string) bool { return slices.Contains(damp, c) }) {
		t.Errorf("the leading story %v has no damp primer in it", stories[0].Causes)
	}
}

// Where several places are rubbed, powder speaks for dry primer at that one.
func TestPowderSpeaksForDry(t *testing.T) {
	damp := causesOf(t, shippedRules(t).Base, "primer-damp")
	e := evaluateRow(t, "practice-paper-powders")
	if l := e.Leader().Cause.ID; slices.Contains(damp, l) {
		t.Errorf("led by %s though the paper powders", l)
	}
}

// A log of ordinary sound practice must not convict the primer.
func TestSoundLogDoesNotConvictThePrimer(t *testing.T) {
	r := shippedRules(t)
	e := evaluateRow(t, "practice-sound-log")
	if l := e.Leader().Cause.ID; slices.Contains(causesOf(t, r.Base, "primer-damp"), l) {
		t.Errorf("led by %s", l)
	}
	bare := e.Sheet
	bare.Answers = nil
	without := contributed(evaluate(t, r, bare), "closed-over-too-soon")
	if with := contributed(e, "closed-over-too-soon"); with >= without {
		t.Errorf("closed-over-too-soon contributed %.3f with the log and %.3f without", with, without)
	}
}

// handbookRow is a symptom and what to look for in a public-domain handbook,
// with the causes that it states.
type handbookRow struct {
	row    string
	source string
	causes []string // one of them is among the first three
}

func handbookRows() []handbookRow {
	const (
		milHandbook = "MIL-HDBK-1110"
		army        = "TM 43-0139"
		woodBook    = "FPL GTR-190 ch. 16"
		leaflet     = "FPL leaflet Why House Paint Fails"
		bulletin    = "FPL bulletin on blistering and peeling (1953)"
		aviation    = "FAA aviation-maintenance handbook"
		airForce    = "USAF TO 1-1-8"
		cyclopedia  = "Cyclopedia of Painting (1908)"
		carriages   = "a carriage painting manual of about 1900"
	)
	return []handbookRow{
		{"01-blister-to-substrate", milHandbook, []string{"water-entry", "closed-over-too-soon"}},
		{"02-painted-wet", army, []string{"rained-on"}},
		{"03-water-blisters", woodBook, []string{"water-entry"}},
		{"04-heat-blisters", leaflet, []string{"sun-before-cured"}},
		{"05-soft-undercoat", carriages, []string{"colour-coat-too-soon"}},
		{"06-unpainted-back", cyclopedia, []string{"water-entry"}},
		{"07-solvent-held", milHandbook, []string{"solvent-trapped"}},
		{"08-hard-undercoat", milHandbook, []string{"recoat-window-missed"}},
		{"09-old-paint", woodBook, []string{"weak-old-paint"}},
		{"10-weathered-surface", woodBook, []string{"sunburnt-board"}},
		{"11-thin-film", milHandbook, []string{"thin-primer"}},
		{"13-aged-cracks", milHandbook, []string{"end-of-life"}},
		{"14-alligatoring", army, []string{"hard-over-soft"}},
		{"15-early-checking", milHandbook + " and " + airForce, []string{"thick-pass"}},
		{"18-fish-eyes", milHandbook, []string{"oil-or-silicone"}},
		{"19-solvent-pop", aviation + " and " + airForce, []string{"solvent-trapped"}},
		{"20-orange-peel", milHandbook, []string{"spray-set-up"}},
		{"21-dry-spray", milHandbook, []string{"dry-spray-cause"}},
		{"22-sags", milHandbook + " and " + army, []string{"over-applied"}},
		{"23-blushing", milHandbook + " and " + army, []string{"solvent-blush"}},
		{"24-slow-dry-cold", army, []string{"dried-too-cold"}},
		{"24-slow-dry-thinner", army, []string{"wrong-thinner"}},
		{"24-slow-dry-dark", army, []string{"deep-tint"}},
		{"25-bleeding", milHandbook + " and " + army, []string{"stain-bleeds"}},
		{"26-chalk", milHandbook + " and " + army, []string{"end-of-life"}},
		{"27-uneven-gloss", milHandbook, []string{"over-applied", "spray-set-up"}},
		{"29-fading", milHandbook, []string{"fugitive-colour"}},
		{"30-poor-adhesion", aviation, []string{"dust-left"}},
		{"31-early-failure", bulletin, []string{"water-entry", "closed-over-too-soon"}},
	}
}

// misses are the rows that the rules do not follow, each with the reason. A
// miss that stops being one fails the test, so that the table stays true.
func misses() map[string]string {
	return map[string]string{
		"27-uneven-gloss": "the rules list haze that lies in the film, and no patches of gloss left by heavy spray or a porous base",
	}
}

// The rows of public-domain handbooks that were looked up, for the failures
// that the rules cover. Left out are rows on wood grain, on walls and on what
// was only recalled.
func TestHandbookCauseIsAmongTheFirstThree(t *testing.T) {
	missed := misses()
	for _, h := range handbookRows() {
		t.Run(h.row, func(t *testing.T) {
			name := "handbook-" + h.row
			checkSource(t, name, h.source)
			first := leading(evaluateRow(t, name), 3)
			found := slices.ContainsFunc(h.causes, func(c string) bool { return slices.Contains(first, c) })
			reason, listed := missed[h.row]
			delete(missed, h.row)
			switch {
			case !found && !listed:
				t.Errorf("%s states one of %v, and the ranking begins with %v", h.source, h.causes, first)
			case found && listed:
				t.Errorf("listed as a miss (%s), and it is one no more: %v", reason, first)
			}
		})
	}
	for row := range missed {
		t.Errorf("the miss %s is no row", row)
	}
}

// checkSource checks that the case says where its row comes from.
func checkSource(t *testing.T, name, source string) {
	t.Helper()
	notes := openCase(t, filepath.Join(trade, name+".yaml")).Notes
	for _, s := range strings.Split(source, " and ") {
		if !strings.Contains(notes, s) {
			t.Errorf("the notes do not name %s", s)
		}
	}
}

// Every case of the trade is one of the tables' rows.
func TestEveryTradeCaseIsTested(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(trade, "handbook-*.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	if len(files) != len(handbookRows()) {
		t.Errorf("%d handbook cases and %d rows", len(files), len(handbookRows()))
	}
}
