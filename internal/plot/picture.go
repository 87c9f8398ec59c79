package plot

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// picture is a chart made ready to draw: a window of time that is one, words
// that fit a line, lines cut into runs without gaps.
type picture struct {
	title  string
	clock  clock
	window window
	panels []strip
	marks  []numbered
	absent []string // marks that are not in the picture, in words
}

// strip is a panel made ready.
type strip struct {
	title, unit string
	curves      []curve
	limits      []Limit
	low, high   float64 // of all that is drawn in it
	empty       bool    // whether no line has a reading
	bare        bool    // whether there is not even a limit to scale by
}

// curve is a line made ready.
type curve struct {
	name, bandName string
	points, ranges []knot   // as given
	line, band     [][]knot // what of them is in the window
}

// numbered is a mark with its number in the picture.
type numbered struct {
	number int
	at     float64
	moment string
	text   string
}

// ready prepares a chart; words says how to write what people named.
func ready(c Chart, words func(string) string) picture {
	p := picture{title: words(c.Title), window: windowOf(c)}
	p.clock = clockOf(c.Start, p.window)
	for _, panel := range c.Panels {
		p.panels = append(p.panels, stripOf(panel, p.window, words))
	}
	for _, m := range inOrder(c.Marks) {
		text := words(m.Text)
		switch {
		case p.window.holds(m.At):
			p.marks = append(p.marks, numbered{len(p.marks) + 1, m.At, p.clock.moment(m.At), text})
		case usableTime(m.At):
			p.absent = append(p.absent, strings.TrimSpace(p.clock.moment(m.At)+" "+text))
		default:
			p.absent = append(p.absent, strings.TrimSpace("at an unknown time "+text))
		}
	}
	return p
}

// inOrder sorts marks by time, those without one last.
func inOrder(marks []Mark) []Mark {
	when := func(m Mark) float64 {
		if usableTime(m.At) {
			return m.At
		}
		return math.Inf(1)
	}
	out := slices.Clone(marks)
	slices.SortStableFunc(out, func(a, b Mark) int { return cmp.Compare(when(a), when(b)) })
	return out
}

func stripOf(panel Panel, w window, words func(string) string) strip {
	s := strip{title: words(panel.Title), unit: words(panel.Unit)}
	for i, l := range panel.Lines {
		c := curve{name: nameOf(words(l.Name), s.title, i, len(panel.Lines)), bandName: words(l.BandName)}
		c.points, c.ranges = pointKnots(l.Points), bandKnots(l.Band)
		c.line, c.band = runs(c.points, w), runs(c.ranges, w)
		if c.bandName == "" {
			c.bandName = "range"
		}
		s.curves = append(s.curves, c)
	}
	for _, l := range panel.Limits {
		if l, ok := usableLimit(l); ok {
			l.Name = words(l.Name)
			if l.Name == "" {
				l.Name = "limit"
			}
			s.limits = append(s.limits, l)
		}
	}
	s.bound(panel.FromZero)
	return s
}

// nameOf finds a name for a line that has none.
func nameOf(name, title string, i, lines int) string {
	switch {
	case name != "":
		return name
	case lines == 1 && title != "":
		return title
	}
	return "line " + short(float64(i+1))
}

// usableLimit orders the ends of a limit and takes one for both where the
// other is not finite.
func usableLimit(l Limit) (Limit, bool) {
	low, high := bounded(l.Low), bounded(l.High)
	if !finite(low) {
		low = high
	}
	if !finite(high) {
		high = low
	}
	l.Low, l.High = math.Min(low, high), math.Max(low, high)
	return l, finite(low)
}

// bound finds what range the axis has to hold.
func (s *strip) bound(fromZero bool) {
	s.low, s.high = math.Inf(1), math.Inf(-1)
	take := func(low, high float64) {
		s.low, s.high = math.Min(s.low, low), math.Max(s.high, high)
	}
	for _, c := range s.curves {
		for _, run := range slices.Concat(c.line, c.band) {
			for _, k := range run {
				take(k.low, k.high)
			}
		}
	}
	s.empty = s.low > s.high
	for _, l := range s.limits {
		take(l.Low, l.High)
	}
	if s.low > s.high {
		s.bare, s.low, s.high = true, 0, 1
	}
	if fromZero {
		s.low, s.high = math.Min(s.low, 0), math.Max(s.high, 0)
	}
}

// heading is the title of a panel with its unit.
func (s strip) heading() string {
	if s.unit == "" || s.title == "" {
		return s.title + s.unit
	}
	return s.title + " (" + s.unit + ")"
}

// withUnit writes a number with the panel's unit.
func withUnit(number, unit string) string {
	if unit == "" {
		return number
	}
	return number + " " + unit
}

// limitText is what the legend says of a limit.
func limitText(l Limit, unit string) string {
	if l.Low == l.High {
		return l.Name + " " + withUnit(short(l.Low), unit)
	}
	return l.Name + " " + short(l.Low) + " to " + withUnit(short(l.High), unit)
}
