package diagnosis_test

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"filmfault/internal/rulebase"
)

// maskFailures are the failures that a mask stands in.
func maskFailures() []string {
	return []string{"mask-lost-hold", "mask-took-primer", "mask-tore-finish", "mask-edge", "mask-residue"}
}

// asked lists the findings that tell something when these failures alone are
// seen, all others looked for and absent.
func asked(t *testing.T, seen ...string) []rulebase.Finding {
	t.Helper()
	r := shippedRules(t)
	s := only(seen[0])
	for _, g := range r.Base.Failures() {
		s.Failures[g.ID] = rulebase.StateAbsent
		if slices.Contains(seen, g.ID) {
			s.Failures[g.ID] = rulebase.StateSeen
		}
	}
	e := evaluate(t, r, s)
	p, err := e.Price(e.Askable)
	if err != nil {
		t.Fatal(err)
	}
	var out []rulebase.Finding
	for _, q := range p.Questions {
		out = append(out, q.Finding)
	}
	return out
}

// A question about the mask is asked only where a mask failure was seen; one
// about where an old mask lay, where that can be what failed.
func TestMaskQuestionsWantAMaskFailure(t *testing.T) {
	for _, g := range shippedRules(t).Base.Failures() {
		if slices.Contains(maskFailures(), g.ID) {
			continue
		}
		for _, f := range asked(t, g.ID) {
			if strings.Contains(strings.ToLower(f.Question), "mask") && !speaksOfEarlierMask(f.ID) {
				t.Errorf("with %s alone it asks %s: %s", g.ID, f.ID, f.Question)
			}
		}
	}
}

// speaksOfEarlierMask names the findings that speak of a mask in passing, or of
// the outline of one that came off well.
func speaksOfEarlierMask(id string) bool {
	return slices.Contains([]string{"mask-shape", "swab-residue", "log-fan-hours-before-closing", "x-cut-pair"}, id)
}

// What lies open, a bed or a chip, is asked about where something is open.
func TestOpenedPlacesAreAskedAboutWhereSomethingIsOpen(t *testing.T) {
	open := []string{"blistering", "peel-to-board", "peel-between-coats", "mask-took-primer", "mask-tore-finish", "mask-lost-hold"}
	speaks := regexp.MustCompile(`opened (bed|primer|spot)|bare board|the bed\b`)
	for _, g := range shippedRules(t).Base.Failures() {
		if slices.Contains(open, g.ID) || g.ID == "soft-film" {
			continue
		}
		for _, f := range asked(t, g.ID) {
			if speaks.MatchString(f.Question) {
				t.Errorf("with %s alone it asks %s: %s", g.ID, f.ID, f.Question)
			}
		}
	}
}

// Every finding has a short name of its own for a page: "underside of the
// blister: paint and primer".
func TestFindingsHaveALabel(t *testing.T) {
	first := map[string]string{}
	for _, f := range shippedRules(t).Base.Findings {
		l := f.Label
		switch {
		case l == strings.ReplaceAll(f.ID, "-", " "):
			t.Errorf("%s has no label of its own", f.ID)
		case len([]rune(l)) > 34, strings.ContainsAny(l, "?!;"), l[:1] != strings.ToLower(l[:1]):
			t.Errorf("%s has the label %q", f.ID, l)
		case first[l] != "":
			t.Errorf("%s and %s are both called %q", first[l], f.ID, l)
		}
		first[l] = f.ID
	}
}

// People answer for the finish when they are asked how old the trouble is: a
// mask failure seen days or weeks after the last coat acquits no cause of it.
func TestAgeDoesNotAcquitTheCausesOfMaskFailures(t *testing.T) {
	r := shippedRules(t)
	for _, failure := range maskFailures() {
		bare := evaluate(t, r, only(failure))
		for _, age := range []string{"in-work", "days", "weeks"} {
			s := only(failure)
			s.Facts["age"] = age
			e := evaluate(t, r, s)
			for _, id := range leading(bare, 6) {
				if was, is := contributed(bare, id), contributed(e, id); math.Abs(is-was) > was/10 {
					t.Errorf("%s, seen after %s: %s goes from %.3f to %.3f", failure, age, id, was, is)
				}
			}
		}
	}
}

// Which face is hollow comes before how its coats compare.
func TestHollowFaceIsFoundFirst(t *testing.T) {
	var order []string
	for _, f := range asked(t, "bow") {
		if f.ID == "hollow-towards" || f.ID == "hollow-face" {
			order = append(order, f.ID)
		}
	}
	if !slices.Equal(order, []string{"hollow-towards", "hollow-face"}) {
		t.Errorf("asked in the order %v", order)
	}
}

// A caution's short form stands alone: it does not lean on what went before.
func TestShortCautionsStandAlone(t *testing.T) {
	leans := regexp.MustCompile(`^(Treat it|It|They|This|That|No)\b`)
	for _, c := range shippedRules(t).Base.Cautions {
		if leans.MatchString(c.Short) {
			t.Errorf("%s leans on something else: %q", c.ID, c.Short)
		}
	}
}
