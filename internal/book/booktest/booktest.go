// Package booktest writes invented casebooks of any size for tests and
// benchmarks: cases of ordinary length, settled and open, with jobs, lots, costs
// and rankings. The same number and seed give the same files everywhere.
//
// It only writes texts and imports nothing of the program; the ids it uses are
// those of the built-in rules.
package booktest

import (
	"fmt"
	"strings"
	"testing/fstest"
	"time"
)

// Folder is a book of so many cases in folders by year, and jobs.yaml with the
// jobs done. Cases are named case-00000.yaml and on.
func Folder(cases int, seed uint64) fstest.MapFS {
	out := fstest.MapFS{}
	for i := range cases {
		g := generator{state: seed*0x9e3779b97f4a7c15 + uint64(i)*0xbf58476d1ce4e5b9 + 1}
		finished := g.finished()
		name := fmt.Sprintf("%d/case-%05d.yaml", finished.Year(), i)
		out[name] = &fstest.MapFile{Data: []byte(g.text(i, finished))}
	}
	out["jobs.yaml"] = &fstest.MapFile{Data: []byte(jobs(cases))}
	return out
}

// The years a book spans.
const (
	firstYear = 2021
	years     = 5
)

// jobs writes enough jobs for every month, more of them in summer.
func jobs(cases int) string {
	var b strings.Builder
	b.WriteString("schema: 1\njobs:\n")
	usual := 20 * (1 + cases/(12*years))
	for y := firstYear; y < firstYear+years; y++ {
		for m := 1; m <= 12; m++ {
			n := usual
			if m >= 5 && m <= 8 {
				n *= 2
			}
			fmt.Fprintf(&b, "  - {month: %d-%02d, done: %d}\n  - {month: %d-%02d, done: %d, tool: spray}\n", y, m, n, y, m, n/3)
		}
	}
	return b.String()
}

// generator draws numbers by the method of Steele, Lea and Flood (Fast splittable
// pseudorandom number generators, 2014).
type generator struct{ state uint64 }

func (g *generator) next() uint64 {
	g.state += 0x9e3779b97f4a7c15
	z := g.state
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// below draws a whole number from 0 on.
func (g *generator) below(n int) int { return int(g.next() % uint64(n)) }

// share draws a number from 0 to 1.
func (g *generator) share() float64 { return float64(g.next()>>11) / (1 << 53) }

func (g *generator) pick(words string) string {
	list := strings.Fields(words)
	return list[g.below(len(list))]
}

func (g *generator) finished() time.Time {
	return time.Date(firstYear, time.January, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, g.below(365*years))
}

// causes are ids of the built-in rules with a measurement for each.
func causes() [][2]string {
	return [][2]string{
		{"closed-over-too-soon", "witness-weight"}, {"cold-damp-still-air", "weather-record"}, {"retaken-moisture", "standing-weight"},
		{"sun-before-cured", "early-heat-repeat"}, {"cleaning-residue", "wet-finger"}, {"no-key", "scuffed-patch-retest"},
		{"oil-or-silicone", "solvent-wipe-pair"}, {"thick-pass", "groove-thickness"}, {"soluble-residue", "rinse-conductivity"},
		{"mix-ratio-off", "mek-rub"},
	}
}

func (g *generator) text(i int, finished time.Time) string {
	var b strings.Builder
	fmt.Fprintf(&b, "schema: 1\ncase: case-%05d\ntitle: \"Invented: panel %d\"\ninvented: true\nstarted: %s\n",
		i, i, finished.AddDate(0, 0, 40).Format("2006-01-02T15:04:05Z"))
	g.job(&b, i, finished)
	g.answers(&b, finished)
	g.log(&b, finished)
	if g.below(5) > 0 {
		g.verdict(&b, finished)
	}
	b.WriteString("notes: >-\n  The customer rang after the first warm week. A dozen places over the routed letters, flat again by\n" +
		"  evening; the job sheet was at the shop and the hours between primer and paint were looked up later.\n")
	return b.String()
}

func (g *generator) job(b *strings.Builder, i int, finished time.Time) {
	fmt.Fprintf(b, "job:\n  number: J-%05d\n  finished: %s\n  seen: %s\n", i, finished.Format(time.DateOnly), finished.AddDate(0, 0, g.below(90)).Format(time.DateOnly))
	month := finished.Format("0601")
	fmt.Fprintf(b, "  board: %s\n  board-lot: B-%s-%d\n  primer-lot: P-%s-%d\n  paint-lot: C-%s-%d\n  drying: %s\n",
		g.pick("medium light dense"), month, g.below(4), month, g.below(6), month, g.below(9), g.pick("rack bench box"))
}

func (g *generator) answers(b *strings.Builder, finished time.Time) {
	season := strings.Fields("winter winter spring spring spring summer summer summer autumn autumn autumn winter")[finished.Month()-1]
	fmt.Fprintf(b, "facts:\n  overhead: \"no\"\n  lighted: \"no\"\n  may-cut: \"yes\"\n  setting: outdoors\n  facing: %s\n  colour: %s\n  season: %s\n  age: weeks\n"+
		"  looked-after: fresh\n  topcoat: %s\n  tool: %s\n  shaping: routed\n  thickness: {value: 1 1/2 in}\n  work-kind: new\n  shop-air: %s\n",
		g.pick("sunny shade morning-sun"), g.pick("light middle dark"), season, g.pick("waterborne solvent two-part"), g.pick("brush roller spray"), g.pick("controlled heated open"))
	fmt.Fprintf(b, "failures:\n  %s: seen\n  peel-to-board: absent\n  bow: absent\n  soft-film: absent\n", g.pick("blistering peel-between-coats craters"))
	b.WriteString("findings:\n  blister-underside: {answer: paint-and-primer, note: \"Two opened, primer on the skin and on the bed in both.\"}\n" +
		"  blister-first-after: hot-sun\n  blister-content: {answer: nothing, sure: probably}\n  feel-thickest-spot: not-checked\n" +
		"  log-sun-age: {value: 9 days, source: remembered}\n  log-fan-hours-before-closing: {value: 1.5 h, source: logged}\n  log-stood-before-closing: \"no\"\n")
}

func (g *generator) log(b *strings.Builder, finished time.Time) {
	b.WriteString("log:\n  coats:\n")
	for i, material := range []string{"high-build primer", "acrylic colour", "acrylic colour"} {
		fmt.Fprintf(b, "    - {face: front, material: %s, start: \"%s 09:00\", wet-film: %d mil, tool: roller, air: %d F, humidity: %d %%, fan: 250 fpm}\n",
			material, finished.AddDate(0, 0, i-2).Format(time.DateOnly), 4+g.below(8), 60+g.below(20), 40+g.below(40))
	}
}

// verdict settles a case by its ranking: a cause is confirmed about as often as
// it was said to be likely, so that the rankings come out well.
func (g *generator) verdict(b *strings.Builder, finished time.Time) {
	list, first := causes(), g.below(10)
	fmt.Fprintf(b, "verdict:\n  settled: \"%s\"\n  by: the shop\n  pays: the shop\n  costs:\n    - {what: lift rental, amount: %d}\n    - {what: repaint, amount: \"$%d\"}\n",
		finished.AddDate(0, 0, 50+g.below(60)).Format(time.DateOnly), 50+g.below(200), 100+g.below(900))
	if g.below(6) == 0 {
		b.WriteString("  changed: Every coat is weighed on a coupon before it is closed over.\n")
	}
	var ranking, verdicts strings.Builder
	left := 1.0
	for i := range 6 {
		c, p := list[(first+i)%len(list)], left*(0.2+0.6*g.share())
		left -= p
		state := "ruled-out"
		switch u := g.share(); {
		case i == 5 || u > 0.9:
			state = "not-examined"
		case u < 0.9*p:
			state = "confirmed"
		}
		fmt.Fprintf(&ranking, "    - {cause: %s, contributed: %.4f}\n", c[0], p)
		fmt.Fprintf(&verdicts, "    - {cause: %s, state: %s, by: %s}\n", c[0], state, c[1])
	}
	fmt.Fprintf(b, "  causes:\n%s  ranking:\n%s  ranked-with: 0123456789ab\n", &verdicts, &ranking)
}
