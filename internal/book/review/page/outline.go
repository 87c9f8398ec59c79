package page

import (
	"fmt"
	"strings"

	"filmfault/internal/book/review"
)

// title is the head line.
func title(d *review.Document) string {
	return "Review of " + strings.Join(d.Books, " and ") + ": " + cases(d.Totals.Cases)
}

// held says what the review was held to, nothing for all cases.
func held(f review.Filtered) string {
	if !f.Any() {
		return ""
	}
	var out []string
	if f.State != "" {
		out = append(out, f.State)
	}
	if f.From != "" {
		out = append(out, "finished from "+f.From)
	}
	if f.To != "" {
		out = append(out, "finished up to "+f.To)
	}
	if f.Failure != "" {
		out = append(out, "failure "+f.Failure)
	}
	if f.Cause != "" {
		out = append(out, "confirmed cause "+f.Cause)
	}
	out = append(out, f.Where...)
	return "Only cases with: " + strings.Join(out, "; ") + "."
}

// outline puts a review into sections.
func outline(d *review.Document) []section {
	if d.Totals.Cases == 0 {
		s := section{title: "In short", says: []string{"There is no case to tell of."}, after: d.Notes}
		return append([]section{s}, leftOut(d)...)
	}
	out := []section{inShort(d)}
	out = append(out, causes(d)...)
	out = append(out, changes(d)...)
	out = append(out, repeats(d)...)
	out = append(out, atRisk(d)...)
	out = append(out, rates(d), months(d), tables(d))
	out = append(out, verdicts(d)...)
	out = append(out, rankings(d))
	return append(out, leftOut(d)...)
}

func inShort(d *review.Document) section {
	t := d.Totals
	s := section{title: "In short", after: d.Notes}
	add := func(format string, args ...any) {
		s.points = append(s.points, point{text: fmt.Sprintf(format, args...)})
	}
	add("%s: %d settled, %d open.", cases(t.Cases), t.Settled, t.Open)
	if t.Settled > 0 {
		add("Settled by a measurement: %d of %d, %s.", t.Measured.Cases, t.Measured.Of, percentOf(t.Measured.Share))
		add("Settled as no fault: %d; as something the rules do not list: %d; with no cause confirmed: %d.", t.NoFault, t.Unlisted, t.Undecided)
	}
	switch {
	case t.Days.Cases == 0:
		add("Days from finish to failure: not known of any case.")
	case t.Days.Cases == 1:
		add("Days from finish to failure: %s in the one case that has both days.", whole(value(t.Days.Median)))
	default:
		add("Days from finish to failure: %s in the middle, %s to %s over the %s that have both days.",
			whole(value(t.Days.Median)), whole(value(t.Days.Low)), whole(value(t.Days.High)), cases(t.Days.Cases))
	}
	if t.Costed > 0 {
		add("Cost: %s in %s.", costWords(t.Costs), cases(t.Costed))
	} else {
		add("Cost: none is written down.")
	}
	return s
}

func costWords(list []review.Amount) string {
	if m := money(list); m != "" {
		return m
	}
	return "nothing"
}

// shareWords writes so many of so many with the interval.
func shareWords(s review.Share) string {
	if s.Of == 0 {
		return "none to tell of"
	}
	return fmt.Sprintf("%d of %d, %s (90 %% interval %s to %s)", s.Cases, s.Of, percentOf(s.Share), percentOf(s.Low), percentOf(s.High))
}

// byCost reports whether a table is in the order of cost.
func byCost(t review.Table) bool { return len(t.Rows) > 0 && t.Rows[0].CostShare != nil }

func causes(d *review.Document) []section {
	if d.Causes.Of == 0 {
		return nil
	}
	s := section{title: "Causes, the most frequent first", picture: func() string { return paretoPicture(d.Causes) }}
	g := grid{heads: []string{"cases", "share", "so far"}, most: 12}
	if byCost(d.Causes) {
		s.title = "Causes, the dearest first"
		g.heads = []string{"cases", "share", "cost", "share", "so far"}
	}
	longest := longest(d.Causes)
	for _, r := range d.Causes.Rows {
		cells := []string{fmt.Sprint(r.Cases), percent(float64(r.Share)), percent(float64(r.SoFar))}
		if byCost(d.Causes) {
			cells = []string{fmt.Sprint(r.Cases), percent(float64(r.Share)), money(r.Costs), percentOf(r.CostShare), percentOf(r.CostSoFar)}
		}
		g.rows = append(g.rows, row{label: r.Title, cells: cells, bar: weight(r) / longest})
	}
	g.rest = rest(d.Causes.Rows)
	s.grids = []grid{g}
	s.says = []string{fmt.Sprintf("Of %s settled. A case with several causes counts whole under each; its shares and cost are split evenly.", cases(d.Causes.Of))}
	return []section{s}
}

// weight is what the bar of a row is as long as.
func weight(r review.Row) float64 {
	if r.CostShare != nil {
		return float64(*r.CostShare)
	}
	return float64(r.Share)
}

func longest(t review.Table) float64 {
	out := 1e-9
	for _, r := range t.Rows {
		out = max(out, weight(r))
	}
	return out
}

// rest says what the rows that are not shown add up to.
func rest(rows []review.Row) func(int) string {
	return func(shown int) string {
		parts := 0.0
		for _, r := range rows[shown:] {
			parts += float64(r.Share)
		}
		return fmt.Sprintf("and %s with %s of the cases", count(len(rows)-shown, "other", "others"), percent(parts))
	}
}

// others says how many rows are not shown.
func others(rows int, besides string) func(int) string {
	return func(shown int) string { return "and " + count(rows-shown, "other", "others") + besides }
}

func tables(d *review.Document) section {
	s := section{title: "By failure, season, board and the rest"}
	var none []string
	for _, t := range d.Tables {
		if len(t.Rows) == 0 || len(t.Rows) == 1 && t.Rows[0].ID == review.NotKnown {
			none = append(none, by(t.By))
			continue
		}
		g := grid{title: "By " + by(t.By), heads: []string{"cases", "share"}, most: 8, rest: rest(t.Rows)}
		if byCost(t) {
			g.heads = append(g.heads, "cost")
		}
		top := 0
		for _, r := range t.Rows {
			top = max(top, r.Cases)
		}
		for _, r := range t.Rows {
			line := row{label: r.Title, cells: []string{fmt.Sprint(r.Cases), percent(float64(r.Share))}, bar: float64(r.Cases) / float64(top)}
			if byCost(t) {
				line.cells = append(line.cells, money(r.Costs))
			}
			g.rows = append(g.rows, line)
		}
		s.grids = append(s.grids, g)
	}
	if len(none) > 0 {
		s.after = []string{"Not known of any case: " + strings.Join(none, ", ") + "."}
	}
	return s
}

// by is what a table goes by, in words.
func by(id string) string {
	if id == "tree" {
		return "family of causes"
	}
	return named(id)
}

func verdicts(d *review.Document) []section {
	if len(d.Verdicts) == 0 {
		return nil
	}
	g := grid{heads: []string{"confirmed", "ruled out", "not examined"}, most: 12}
	for _, v := range d.Verdicts {
		of := float64(v.Confirmed + v.RuledOut + v.NotExamined)
		g.rows = append(g.rows, row{label: v.Title, cells: []string{fmt.Sprint(v.Confirmed), fmt.Sprint(v.RuledOut), fmt.Sprint(v.NotExamined)}, bar: float64(v.Confirmed) / of})
	}
	g.rest = others(len(d.Verdicts), " not confirmed more often")
	return []section{{title: "What the verdicts say of each cause", says: []string{"The bar is the share of verdicts that confirmed it."}, grids: []grid{g}}}
}

func leftOut(d *review.Document) []section {
	s := section{title: "Left out"}
	for _, u := range d.Unread {
		s.points = append(s.points, point{text: fmt.Sprintf("%s: the %s %q.", u.Place, u.What, u.Text)})
	}
	for _, l := range d.LeftOut {
		s.points = append(s.points, point{text: fmt.Sprintf("%s: the whole file; %s.", l.Place, strings.TrimSuffix(l.Why, "."))})
	}
	if len(s.points) == 0 {
		return nil
	}
	return []section{s}
}
