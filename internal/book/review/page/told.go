package page

import (
	"fmt"
	"slices"
	"strings"

	"filmfault/internal/book/review"
)

// How many points each section tells; JSON has all.
const (
	changesTold = 6
	repeatsTold = 6
	risksTold   = 8
	idsTold     = 6
	// causesAtRisk is how many causes of one lot are told.
	causesAtRisk = 3
)

// cut keeps the first points and says how many there are besides.
func cut(points []point, most int, what string) []point {
	if len(points) <= most {
		return points
	}
	return append(points[:most:most], point{text: fmt.Sprintf("And %d %s; `--format json` lists them.", len(points)-most, what)})
}

func changes(d *review.Document) []section {
	if len(d.Changes) == 0 {
		return nil
	}
	s := section{title: "What would have avoided most"}
	for _, c := range d.Changes {
		p := point{text: c.Prevent, more: []string{"At most " + avoided(c) + "."}}
		for _, n := range c.Causes {
			p.more = append(p.more, "Against: "+n.Title+".")
		}
		s.points = append(s.points, p)
	}
	s.points = cut(s.points, changesTold, "further practices")
	s.after = []string{"At most: as if the practice never failed and were always kept."}
	return []section{s}
}

// avoided is what a practice would have saved, in words.
func avoided(c review.Change) string {
	var out string
	switch {
	case c.Among == 0:
		out = cases(c.Alone)
	case c.Alone == 0:
		out = fmt.Sprintf("a part in %s that had other causes too", cases(c.Among))
	default:
		out = fmt.Sprintf("%s, and a part in %d that had other causes too", cases(c.Alone), c.Among)
	}
	if m := money(c.Costs); m != "" {
		out += "; " + m
	}
	return out
}

func repeats(d *review.Document) []section {
	if len(d.Repeats) == 0 {
		return nil
	}
	s := section{title: "Confirmed again within " + fmt.Sprint(review.RepeatDays) + " days"}
	s.says = []string{"A job done after the first case was settled, and the work changed, came back in spite of it. One done before was painted the old way, and says nothing of the change."}
	for _, r := range d.Repeats {
		event := "the first was settled"
		if r.Times[0].Changed != "" {
			event = "the change"
		}
		p := point{text: fmt.Sprintf("%s: %d times, %s %s.", r.Title, len(r.Times), afterwards(r.Times), event)}
		for i, t := range r.Times {
			if i == idsTold {
				p.more = append(p.more, fmt.Sprintf("And %d times more, up to %s.", len(r.Times)-i, r.Times[len(r.Times)-1].Settled))
				break
			}
			p.more = append(p.more, repeated(t, event))
		}
		s.points = append(s.points, p)
	}
	s.points = cut(s.points, repeatsTold, "further runs")
	return []section{s}
}

func repeated(t review.Repeated, event string) string {
	out := t.Settled + " " + t.Case
	if t.After != nil {
		out += ", " + later(int(*t.After)) + "; " + against(t.AfterChange, event)
	}
	if t.Changed != "" {
		out += "; changed then: " + strings.TrimSuffix(strings.TrimSpace(t.Changed), ".")
	}
	return out + "."
}

// against says how a job stands to the change, or to the day of the first verdict
// where that changed nothing.
func against(after *bool, event string) string {
	switch {
	case after == nil:
		return "the day it was done is not known"
	case *after:
		return "done after " + event
	}
	return "done before " + event
}

// afterwards counts the jobs that were done after the change.
func afterwards(times []review.Repeated) string {
	n := 0
	for _, t := range times {
		if t.AfterChange != nil && *t.AfterChange {
			n++
		}
	}
	if n == 0 {
		return "none known to be done after"
	}
	return fmt.Sprintf("%d done after", n)
}

func later(days int) string {
	if days == 0 {
		return "the same day"
	}
	return count(days, "day", "days") + " later"
}

func atRisk(d *review.Document) []section {
	if len(d.AtRisk) == 0 {
		return nil
	}
	s := section{title: "Other jobs at risk", says: []string{"They share a lot, or the week of finishing, with a confirmed cause. That is a reason to look, and proves nothing."}}
	for _, a := range d.AtRisk {
		s.points = append(s.points, risk(a))
	}
	s.points = cut(s.points, risksTold, "further groups")
	return []section{s}
}

// risk tells of one lot or week.
func risk(a review.AtRisk) point {
	p := point{text: capital(named(a.Shares)) + " " + a.Value + ": no open case."}
	if len(a.Open) > 0 {
		p.text = fmt.Sprintf("%s %s: %d open, %s.", capital(named(a.Shares)), a.Value, len(a.Open), some(a.Open, idsTold))
	}
	for i, c := range a.Causes {
		if i == causesAtRisk {
			p.more = append(p.more, fmt.Sprintf("And %s.", count(len(a.Causes)-i, "other cause", "other causes")))
			break
		}
		line := fmt.Sprintf("%s, confirmed in %s", c.Title, some(c.Confirmed, idsTold))
		if len(c.Others) > 0 {
			line += "; settled otherwise, without a look at this: " + some(c.Others, idsTold)
		}
		p.more = append(p.more, line+".")
	}
	return p
}

func rates(d *review.Document) section {
	r := d.Rates
	s := section{title: "Failures for a hundred jobs"}
	if !r.Given {
		s.says = []string{r.Says}
		return s
	}
	s.says = []string{fmt.Sprintf("Counted against %s, with the %s. %s", r.Of, r.Method, r.Says)}
	short := slices.Concat([]review.Rate{*r.All}, r.Trend, r.Seasons)
	top := highest(short)
	g := grid{heads: rateHeads(), most: len(short)}
	for _, x := range short {
		g.rows = append(g.rows, rateRow(x, top))
	}
	s.grids = []grid{g}
	for _, x := range r.Splits {
		s.grids = append(s.grids, splitGrid(x))
	}
	s.grids = append(s.grids, monthGrid(r.Months))
	s.after = r.Notes
	s.picture = func() string { return ratePicture(r) }
	return s
}

func rateHeads() []string { return []string{"jobs", "cases", "per 100", "interval"} }

func splitGrid(x review.Split) grid {
	g := grid{title: "By " + named(x.By), heads: rateHeads(), most: 8, rest: others(len(x.Rows), "")}
	for _, r := range x.Rows {
		g.rows = append(g.rows, rateRow(r, highest(x.Rows)))
	}
	return g
}

func highest(rates []review.Rate) float64 {
	top := 1e-9
	for _, r := range rates {
		top = max(top, value(r.High))
	}
	return top
}

// monthsTold is how many months text shows, the latest.
const monthsTold = 24

func monthGrid(all []review.Rate) grid {
	g := grid{title: "By month of finishing", heads: rateHeads()}
	if n := len(all) - monthsTold; n > 0 {
		all = all[n:]
		g.title += ", the latest " + count(len(all), "month", "months")
	}
	g.most = len(all)
	for _, r := range all {
		g.rows = append(g.rows, rateRow(r, highest(all)))
	}
	return g
}

func rateRow(r review.Rate, top float64) row {
	out := row{label: strings.TrimSpace(r.Of), cells: []string{fmt.Sprint(r.Jobs), fmt.Sprint(r.Cases), "-", "-"}, strip: &strip{bare: true}}
	if r.PerHundred != nil {
		out.cells[2], out.cells[3] = decimal(value(r.PerHundred)), decimal(value(r.Low))+" to "+decimal(value(r.High))
		out.strip = &strip{low: value(r.Low) / top, high: value(r.High) / top, at: value(r.PerHundred) / top}
	}
	return out
}

// months is the trend: by year if there are many months, and the latest of them.
func months(d *review.Document) section {
	s := section{title: "Cases by month"}
	if len(d.Months) == 0 {
		s.says = []string{"No case has a day."}
		return s
	}
	if !d.Rates.Given {
		s.says = []string{"Counts alone; see failures for a hundred jobs above."}
	}
	late, by := d.Months, grid{heads: []string{"cases", "cost"}}
	if n := len(d.Months) - monthsTold; n > 0 {
		late, by.title = d.Months[n:], "The latest "+fmt.Sprint(monthsTold)+" months"
		s.grids = append(s.grids, yearGrid(d.Years))
	}
	top := 1
	for _, m := range late {
		top = max(top, m.Cases)
	}
	for _, m := range late {
		by.rows = append(by.rows, row{label: m.Month, cells: []string{fmt.Sprint(m.Cases), money(m.Costs)}, bar: float64(m.Cases) / float64(top)})
	}
	by.most = len(by.rows)
	s.grids = append(s.grids, by)
	s.picture = func() string { return monthPicture(d.Months) }
	return s
}

func yearGrid(years []review.InYear) grid {
	g := grid{title: "By year", heads: []string{"cases", "cost"}, most: len(years)}
	top := 1
	for _, y := range years {
		top = max(top, y.Cases)
	}
	for _, y := range years {
		g.rows = append(g.rows, row{label: fmt.Sprint(y.Year), cells: []string{fmt.Sprint(y.Cases), money(y.Costs)}, bar: float64(y.Cases) / float64(top)})
	}
	return g
}

func rankings(d *review.Document) section {
	r := d.Rankings
	s := section{title: "How well the rankings did"}
	if r.Cases == 0 {
		s.says = []string{"No settled case holds the ranking as it stood when it was settled."}
		return s
	}
	add := func(format string, args ...any) {
		s.points = append(s.points, point{text: fmt.Sprintf(format, args...)})
	}
	add("%s settled with the ranking as it stood then.", cases(r.Cases))
	add("The confirmed cause stood first: %s.", shareWords(r.First))
	add("It stood among the first three: %s.", shareWords(r.FirstThree))
	if r.MeanRank != nil {
		add("Its mean place: %s%s.", map[bool]string{true: "at least "}[r.AtLeast], decimal(value(r.MeanRank)))
	}
	if r.Unlisted > 0 {
		add("%s to be something the rules do not list. That counts as a miss for both, since the ranking named listed causes.", count(r.Unlisted, "case turned out", "cases turned out"))
	}
	if r.NotKept > 0 {
		add("%s below the places of the ranking that were kept. What was said of those is not known, and the score lacks them.", count(r.NotKept, "confirmed cause stood", "confirmed causes stood"))
	}
	if r.Untold > 0 {
		add("%s below the places kept. What was said of those is not known, and the score and the table lack them: misses that were rightly said to be unlikely.",
			count(r.Untold, "cause that was ruled out stood", "causes that were ruled out stood"))
	}
	if r.Forecasts == 0 {
		s.after = []string{"None of the causes ranked was examined, so their probabilities cannot be held against anything."}
		return s
	}
	add("Brier score %.3f over %s, of which %d came true: 0 is perfect, and to say the share that came true each time would score %.3f.",
		value(r.Brier), count(r.Forecasts, "probability", "probabilities"), r.CameTrue, value(r.BrierBase))
	s.grids = []grid{reliability(r.Tenths)}
	s.after = []string{"A confirmed cause came true, one ruled out did not, one not examined is left out. By chance: where the share that came true lies in nine of ten books if the probabilities are right (binomial); o is the share that came true, ! marks one outside."}
	s.picture = func() string { return reliabilityPicture(r.Tenths) }
	return s
}

func reliability(tenths []review.Tenth) grid {
	g := grid{title: "Probability stated against share that came true", heads: []string{"count", "stated", "came true", "by chance"}, most: 10}
	for _, t := range tenths {
		line := row{label: fmt.Sprintf("%.0f to %.0f %%", 100*float64(t.From), 100*float64(t.To)), cells: []string{fmt.Sprint(t.Count), "-", "-", "-"}, strip: &strip{bare: true}}
		if t.Count > 0 {
			line.cells = []string{fmt.Sprint(t.Count), percentOf(t.Forecast), percentOf(t.CameTrue), span(t)}
			line.strip = &strip{low: value(t.Low), high: value(t.High), at: value(t.CameTrue)}
		}
		g.rows = append(g.rows, line)
	}
	return g
}

// span is what chance allows, marked where the share lies outside.
func span(t review.Tenth) string {
	out := fmt.Sprintf("%.0f to %s", 100*value(t.Low), percentOf(t.High))
	if t.Outside {
		out += " !"
	}
	return out
}
