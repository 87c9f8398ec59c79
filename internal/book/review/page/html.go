package page

import (
	"html/template"
	"io"

	"filmfault/internal/book/review"
)

// HTML writes a review as one file that needs nothing beside it and prints on
// paper: tables with all rows, and the pictures in it.
func HTML(w io.Writer, d *review.Document) error {
	t, err := template.New("review").Parse(htmlPage)
	if err != nil {
		return err
	}
	p := htmlReview{Title: title(d), Held: held(d.Filter), Digest: d.Rules.Digest, Layers: d.Rules.Layers}
	for _, s := range outline(d) {
		p.Sections = append(p.Sections, htmlOf(s))
	}
	return t.Execute(w, p)
}

type htmlReview struct {
	Title, Held, Digest string
	Layers              []string
	Sections            []htmlSection
}

type htmlSection struct {
	Title       string
	Says, After []string
	Picture     template.HTML
	Points      []htmlPoint
	Grids       []htmlGrid
}

type htmlPoint struct {
	Text string
	More []string
}

type htmlGrid struct {
	Title string
	Heads []string
	Rows  []htmlRow
	Rest  string
}

type htmlRow struct {
	Label string
	Cells []string
	Bar   template.HTML
}

func htmlOf(s section) htmlSection {
	out := htmlSection{Title: s.title, Says: s.says, After: s.after}
	if s.picture != nil {
		// The picture escapes every word of its own.
		out.Picture = template.HTML(s.picture())
	}
	for _, p := range s.points {
		out.Points = append(out.Points, htmlPoint{p.text, p.more})
	}
	for _, g := range s.grids {
		h := htmlGrid{Title: g.title, Heads: g.heads}
		shown, rest := g.shown(max(g.most, wideMost))
		h.Rest = rest
		for _, r := range shown {
			h.Rows = append(h.Rows, htmlRow{r.label, r.cells, template.HTML(bar(r))})
		}
		out.Grids = append(out.Grids, h)
	}
	return out
}

// bar is the little picture at the end of a row.
func bar(r row) string {
	const wide, high = 120.0, 14.0
	var d drawing
	switch {
	case r.strip == nil:
		d.rect(0, 2, max(0, r.bar)*wide, high-4, "fill", fill, "stroke", ink, "stroke-width", "0.5")
	case !r.strip.bare:
		x := func(v float64) float64 { return 4 + v*(wide-8) }
		d.whisker(x(r.strip.low), x(r.strip.high), x(r.strip.at), high/2)
	}
	return `<svg width="` + num(wide) + `" height="` + num(high) + `" viewBox="0 0 ` + num(wide) + ` ` + num(high) + `" aria-hidden="true">` + d.body.String() + `</svg>`
}

const htmlPage = `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{.Title}}</title>
<style>
body { font: 15px/1.45 Georgia, serif; color: #222; background: #fff; max-width: 46rem; margin: 2rem auto; padding: 0 1rem; }
h1 { font-size: 1.5rem; margin-bottom: 0.2rem; }
h2 { font-size: 1.15rem; margin-top: 2rem; border-bottom: 1px solid #999; }
h3 { font-size: 1rem; margin: 1.2rem 0 0.3rem; }
table { border-collapse: collapse; font: 13px/1.3 sans-serif; }
th, td { padding: 2px 8px; text-align: right; border-bottom: 1px solid #ddd; vertical-align: middle; white-space: nowrap; }
th:first-child, td:first-child { text-align: left; white-space: normal; padding-left: 0; }
td.bar { text-align: left; }
td.bar svg { max-width: none; }
svg { max-width: 100%; height: auto; display: block; }
figure { margin: 0.8rem 0; }
.scroll { overflow-x: auto; }
footer { margin-top: 2.5rem; font-size: 13px; color: #555; }
@media print {
 @page { margin: 16mm; }
 body { font-size: 10.5pt; margin: 0; max-width: none; padding: 0; }
 h2, h3 { break-after: avoid; }
 figure, tr, li { break-inside: avoid; }
 .scroll { overflow: visible; }
 svg { print-color-adjust: exact; -webkit-print-color-adjust: exact; }
}
</style>
</head>
<body>
<h1>{{.Title}}</h1>
{{- with .Held}}
<p>{{.}}</p>
{{- end}}
{{- range .Sections}}
<section>
<h2>{{.Title}}</h2>
{{- range .Says}}
<p>{{.}}</p>
{{- end}}
{{- with .Points}}
<ul>
{{- range .}}
<li>{{.Text}}{{with .More}}<ul>{{range .}}<li>{{.}}</li>{{end}}</ul>{{end}}</li>
{{- end}}
</ul>
{{- end}}
{{- with .Picture}}
<figure>{{.}}</figure>
{{- end}}
{{- range .Grids}}
{{- with .Title}}
<h3>{{.}}</h3>
{{- end}}
<div class="scroll"><table>
<thead><tr><th></th>{{range .Heads}}<th>{{.}}</th>{{end}}<th></th></tr></thead>
<tbody>
{{- range .Rows}}
<tr><td>{{.Label}}</td>{{range .Cells}}<td>{{.}}</td>{{end}}<td class="bar">{{.Bar}}</td></tr>
{{- end}}
</tbody>
</table></div>
{{- with .Rest}}
<p>{{.}}</p>
{{- end}}
{{- end}}
{{- range .After}}
<p>{{.}}</p>
{{- end}}
</section>
{{- end}}
<footer>Rules {{.Digest}} ({{range $i, $l := .Layers}}{{if $i}} + {{end}}{{$l}}{{end}}). A review counts what was written; it judges no case anew.</footer>
</body>
</html>
`
