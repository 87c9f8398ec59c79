package page

import (
	"fmt"
	"slices"
	"strings"

	"filmfault/internal/book/review"
)

// The colours of pictures: told apart in print by lightness too.
const (
	fill  = `#7aa6d6`
	ink   = `#222`
	faint = `#ccc`
)

// paretoRows is how many causes a picture shows.
const paretoRows = 15

// paretoPicture draws the causes as bars with the share so far as a line.
func paretoPicture(t review.Table) string {
	var d drawing
	const left, right, rowHeight, top = 290.0, 650.0, 34.0, 40.0
	rows := t.Rows[:min(paretoRows, len(t.Rows))]
	x := func(share float64) float64 { return left + share*(right-left) }
	what := "cases"
	if byCost(t) {
		what = "cost"
	}
	bottom := top + rowHeight*float64(len(rows))
	for i := range 5 {
		at := x(float64(i) / 4)
		d.line(at, top-4, at, bottom, "stroke", faint)
		d.text(at, top-8, percent(float64(i)/4), "text-anchor", "middle")
	}
	var path, desc []string
	for i, r := range rows {
		y := top + rowHeight*float64(i)
		lines := wrapped(r.Title, left-20, 2)
		for j, l := range lines {
			d.text(left-10, y+rowHeight/2+4+lineStep*(float64(j)-float64(len(lines)-1)/2), l, "text-anchor", "end")
		}
		part, soFar := weight(r), float64(r.SoFar)
		if r.CostSoFar != nil {
			soFar = float64(*r.CostSoFar)
		}
		d.rect(left, y+6, x(part)-left, rowHeight-12, "fill", fill, "stroke", ink, "stroke-width", "0.5")
		path = append(path, num(x(soFar))+","+num(y+rowHeight/2))
		desc = append(desc, fmt.Sprintf("%s %s, so far %s", r.Title, percent(part), percent(soFar)))
		d.text(right+12, y+rowHeight/2+4, cases(r.Cases))
	}
	d.element("polyline", "points", strings.Join(path, " "), "fill", "none", "stroke", ink, "stroke-width", "1.5")
	for _, p := range path {
		at := strings.Split(p, ",")
		d.element("circle", "cx", at[0], "cy", at[1], "r", "3", "fill", "#fff", "stroke", ink)
	}
	d.text(left, bottom+20, "Bars: share of the "+what+". Line: share so far.")
	return d.document(bottom+30, "Causes by "+what, strings.Join(desc, "; ")+".")
}

// monthPicture draws the cases of each month as bars.
func monthPicture(list []review.InMonth) string {
	var d drawing
	const left, right, top, bottom = 40.0, 700.0, 20.0, 180.0
	most, desc := 1, []string{}
	for _, m := range list {
		most = max(most, m.Cases)
		if m.Cases > 0 {
			desc = append(desc, fmt.Sprintf("%s %d", m.Month, m.Cases))
		}
	}
	y := func(n float64) float64 { return bottom - n/float64(most)*(bottom-top) }
	for n, by := 0.0, max(1, step(float64(most))); n <= float64(most); n += by {
		d.line(left, y(n), right, y(n), "stroke", faint)
		d.text(left-6, y(n)+4, fmt.Sprintf("%.0f", n), "text-anchor", "end")
	}
	wide := (right - left) / float64(len(list))
	for i, m := range list {
		x := left + wide*float64(i)
		d.rect(x+wide*0.12, y(float64(m.Cases)), wide*0.76, bottom-y(float64(m.Cases)), "fill", fill, "stroke", ink, "stroke-width", "0.5")
		if every := 1 + len(list)/12; i%every == 0 {
			d.text(x+wide/2, bottom+16, m.Month, "text-anchor", "middle", "font-size", "11")
		}
	}
	return d.document(bottom+26, "Cases by month", strings.Join(desc, "; ")+".")
}

// ratePicture draws failures for a hundred jobs by season, with intervals.
func ratePicture(r review.Rates) string {
	var d drawing
	const left, right, top, rowHeight = 170.0, 690.0, 34.0, 26.0
	rows := slices.Concat([]review.Rate{*r.All}, r.Trend, r.Seasons)
	most := highest(rows)
	x := func(v float64) float64 { return left + v/most*(right-left) }
	bottom := top + rowHeight*float64(len(rows))
	for v, by := 0.0, step(most); v <= most*1.0001; v += by {
		d.line(x(v), top-6, x(v), bottom, "stroke", faint)
		d.text(x(v), top-10, fmt.Sprintf("%g", v), "text-anchor", "middle")
	}
	var desc []string
	for i, row := range rows {
		y := top + rowHeight*(float64(i)+0.5)
		d.text(left-10, y+4, fmt.Sprintf("%s (%d)", row.Of, row.Jobs), "text-anchor", "end")
		if row.PerHundred == nil {
			continue
		}
		d.whisker(x(value(row.Low)), x(value(row.High)), x(value(row.PerHundred)), y)
		desc = append(desc, fmt.Sprintf("%s %s, %s to %s", row.Of, decimal(value(row.PerHundred)), decimal(value(row.Low)), decimal(value(row.High))))
	}
	d.text(left, bottom+20, "Failures for a hundred jobs, with 90 % intervals; jobs done in brackets.")
	return d.document(bottom+30, "Failures for a hundred jobs", strings.Join(desc, "; ")+".")
}

// reliabilityPicture draws what came true against what was stated, with the
// range that chance allows where the probabilities are right.
func reliabilityPicture(tenths []review.Tenth) string {
	var d drawing
	const left, top, side = 60.0, 20.0, 330.0
	x := func(v float64) float64 { return left + v*side }
	y := func(v float64) float64 { return top + (1-v)*side }
	for i := range 6 {
		v := float64(i) / 5
		d.line(x(v), y(0), x(v), y(1), "stroke", faint)
		d.line(x(0), y(v), x(1), y(v), "stroke", faint)
		d.text(x(v), y(0)+16, percent(v), "text-anchor", "middle")
		d.text(x(0)-6, y(v)+4, percent(v), "text-anchor", "end")
	}
	d.line(x(0), y(0), x(1), y(1), "stroke", "#888", "stroke-dasharray", "5 4")
	var desc []string
	for _, t := range tenths {
		if t.Count == 0 {
			continue
		}
		at := x(value(t.Forecast))
		d.line(at, y(value(t.Low)), at, y(value(t.High)), "stroke", "#888", "stroke-width", "7", "opacity", "0.6")
		d.dot(at, y(value(t.CameTrue)), "fill", "#1f5fa8")
		d.text(at+8, y(value(t.CameTrue))-6, fmt.Sprint(t.Count), "font-size", "11")
		desc = append(desc, fmt.Sprintf("stated %s, came true %s of %d, by chance %s", percentOf(t.Forecast), percentOf(t.CameTrue), t.Count, span(t)))
	}
	d.text(x(0), y(0)+36, "Probability stated (across) and share that came true (up).")
	const legend = left + side + 24
	for i, l := range []string{"Dot: share that came true, with", "the number of probabilities.", "Thick bar: where nine of ten such dots", "lie if the probabilities are right.", "Broken line: where they would lie", "without chance."} {
		d.text(legend, top+20+lineStep*float64(i), l)
	}
	return d.document(y(0)+46, "Reliability of the rankings", strings.Join(desc, "; ")+".")
}
