package joblog

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"filmfault/internal/casefile"
	"filmfault/internal/shop"
	"filmfault/internal/source"
)

// Files opens a file that a case names, by its name as written there.
type Files func(name string) (io.ReadCloser, error)

// reader is a log under way from its words to steps.
type reader struct {
	c     *casefile.Case
	open  Files
	log   *Log
	diags source.List
	zone  *time.Location
	year  int // for dates without one, 0 while not known

	line    string  // of the log being read, for what has no place in a file yet
	first   float64 // s of Unix time that the log counts from
	fanSaid bool
}

func (r *reader) fail(span source.Span, check, summary, remedy string) {
	if span.Start.Line == 0 && r.line != "" && !strings.HasPrefix(summary, r.line) {
		summary = r.line + ": " + summary
	}
	r.diags.Error(span, check, summary, remedy)
}

func (r *reader) note(format string, args ...any) {
	text := fmt.Sprintf(format, args...)
	if !slices.Contains(r.log.Notes, text) {
		r.log.Notes = append(r.log.Notes, text)
	}
}

// Present says whether a case holds a log that could be computed with: more than
// one coat or step.
func Present(c *casefile.Case) bool {
	coats := len(c.Coats)
	if coats > 0 && c.Coats[coats-1].ToNext != "" {
		coats++
	}
	return coats+len(c.Log.Steps) > 1
}

// Read reads the log of a case of a shop, whose materials may be named. The log
// is nil when the case holds none to compute with (Present) or when the
// diagnostics hold errors.
func Read(c *casefile.Case, s shop.Shop, open Files) (*Log, source.List) {
	if !Present(c) {
		return nil, nil
	}
	r := &reader{c: c, open: open, log: &Log{Materials: s.Materials, like: s.Like}, zone: time.UTC}
	r.settleZone()
	r.settleYear()
	r.coats()
	r.steps()
	if !r.diags.HasErrors() && !slices.ContainsFunc(r.log.Steps, func(s Step) bool { return s.Kind == Coat }) {
		r.fail(c.Log.Span, "coats", "the log holds steps and no coat, and nothing can be worked out from them", "coats: with face, material, start and wet-film")
	}
	if !r.diags.HasErrors() {
		r.order()
		r.fromFirst()
		r.tooLong()
		r.panel()
	}
	if !r.diags.HasErrors() {
		r.air()
	}
	r.diags.Sort()
	if r.diags.HasErrors() {
		return nil, r.diags
	}
	return r.log, r.diags
}

// Figures reads every figure of a log that is too short to compute with, so that
// a slip in one is told all the same.
func Figures(c *casefile.Case) source.List {
	r := &reader{c: c, log: &Log{Materials: shop.Ordinary().Materials}, zone: time.UTC}
	for i := range c.Coats {
		r.figuresOf(&c.Coats[i])
	}
	r.diags.Sort()
	return r.diags
}

func (r *reader) settleZone() {
	name := r.c.Log.Zone
	if name == "" {
		r.note("The log states no time zone: its times are taken as read on one clock.")
		return
	}
	zone, err := zoneNamed(name)
	if err != nil {
		r.fail(r.c.Log.SpanOf("zone"), "time-zone", fmt.Sprintf("%q is no time zone", name), "a place of the zone, such as America/Chicago or Europe/Berlin")
		return
	}
	r.zone = zone
}

// errLocal says that a zone depends on the machine.
var errLocal = errors.New("that is the zone of whichever machine it is read on")

// zoneNamed finds a time zone, the same on every machine.
func zoneNamed(name string) (*time.Location, error) {
	if strings.EqualFold(name, "local") {
		return nil, errLocal
	}
	if m := offsetZone.FindStringSubmatch(strings.ToUpper(strings.TrimSpace(name))); m != nil {
		hours, err := strconv.Atoi(m[1])
		if err != nil || hours < -12 || hours > 14 {
			return nil, errNoOffset
		}
		return time.FixedZone(name, hours*3600), nil
	}
	return time.LoadLocation(name)
}

// offsetZone is a zone written as hours from universal time.
var offsetZone = regexp.MustCompile(`^UTC([+-]\d{1,2})$`)

// errNoOffset says that no place is so far from universal time.
var errNoOffset = errors.New("no place is so many hours from universal time")

// settleYear finds the year for dates written without one: that of the first
// date of the log that has one, else that in which the case was begun.
func (r *reader) settleYear() {
	var texts []string
	for _, c := range r.c.Coats {
		texts = append(texts, c.Start)
	}
	for _, s := range r.c.Log.Steps {
		texts = append(texts, s.At)
	}
	for _, a := range r.c.Log.Air {
		texts = append(texts, a.At)
	}
	for _, text := range append(texts, r.c.Started) {
		if m, err := ReadMoment(text, r.zone); err == nil && m.HasYear {
			r.year = m.Year()
			return
		}
	}
}

// clock reads a clock time in s of Unix time.
func (r *reader) clock(text string, span source.Span, what string) (float64, bool) {
	m, err := ReadMoment(text, r.zone)
	switch {
	case err != nil:
		r.fail(span, "time", fmt.Sprintf("%s: %q names no date", what, text), "a date with a time of day, such as 2026-04-03 8:00")
		return 0, false
	case !m.HasClock:
		r.fail(span, "time", fmt.Sprintf("%s: %q has no time of day, and hours decide here", what, text), text+" 8:00, with the right time")
		return 0, false
	case !m.HasYear && r.year == 0:
		r.fail(span, "time", fmt.Sprintf("%s: %q has no year, nor has any other date of the log", what, text), "the year with one of the dates, such as 2026-04-03 8:00")
		return 0, false
	case !m.HasYear:
		m.Time = time.Date(r.year, m.Month(), m.Day(), m.Hour(), m.Minute(), m.Second(), 0, r.zone)
	}
	return float64(m.UnixMilli()) / 1000, true
}

func (r *reader) sort() {
	slices.SortStableFunc(r.log.Steps, func(a, b Step) int { return cmp.Compare(a.When.Mid(), b.When.Mid()) })
}

// order puts the steps in order of time and refuses what cannot be.
func (r *reader) order() {
	r.sort()
	hung := math.Inf(1)
	for _, s := range r.log.Steps {
		switch {
		case s.Kind == Hang:
			hung = min(hung, s.When.Mid())
		case s.Kind == Coat && s.When.Mid() > hung:
			r.fail(s.Span, "order", "this coat went on after the piece was hung, which the calculation cannot follow",
				"the hanging at its time, or a case of its own for work done on the hung piece")
		}
	}
	r.closedBy()
}

// closedBy adds what came after the last coat of a face, if that was primer, when
// the log says how long it was but not what it was.
func (r *reader) closedBy() {
	var found []Step
	for _, f := range []Face{Front, Back} {
		last := -1
		for i, s := range r.log.Steps {
			if s.On(f) && (s.Kind == Coat || s.Closes()) {
				last = i
			}
		}
		if last < 0 || !r.log.Primes(r.log.Steps[last]) {
			continue
		}
		s := r.log.Steps[last]
		c := &r.c.Coats[s.line-1]
		followed := s.line < len(r.c.Coats) && r.c.Coats[s.line].Start == "" && !IsBare(r.c.Coats[s.line].Material)
		if c.ToNext == "" || followed { // it led to the next line, on another face
			continue
		}
		if wait, ok := r.wait(fmt.Sprintf("coat-%d-to-next", s.line), c.ToNext, c.SpanOf("to-next")); ok {
			found = append(found, Step{Kind: Next, Faces: []Face{f}, When: s.When.after(wait), Span: c.SpanOf("to-next")})
		}
	}
	if len(found) == 2 && found[0].When.Mid() == found[1].When.Mid() {
		found = []Step{found[0]}
		found[0].Faces = []Face{Front, Back}
	}
	r.log.Steps = append(r.log.Steps, found...)
	r.sort()
}

// Closes says whether a step lays something over the film that is there; a
// coat does too.
func (s Step) Closes() bool {
	return slices.Contains([]Kind{MaskOn, Wrap, Graphics, Next}, s.Kind)
}

// fromFirst makes times count from the first step.
func (r *reader) fromFirst() {
	r.first = math.Inf(1)
	for _, s := range r.log.Steps {
		r.first = min(r.first, s.When.Clock)
	}
	for i := range r.log.Steps {
		r.log.Steps[i].When.Clock -= r.first
	}
	r.log.Origin = time.UnixMilli(int64(r.first * 1000)).In(r.zone)
}

// lasting is the longest job that is followed, in s.
const lasting = 60 * 86400

// Work gives the times between which films are followed, in s: from the first
// coat to the last step that needs a dry film in the shop. Sun and hanging come
// after it.
func (l *Log) Work() (from, to float64) {
	from = math.Inf(1)
	for _, s := range l.Steps {
		if s.Kind == Coat || s.Kind == Sand || s.Closes() {
			to = max(to, s.When.Mid())
		}
		if s.Kind == Coat {
			from = min(from, s.When.Mid())
		}
	}
	return min(from, to), to
}

// tooLong refuses a job that no shop has: mostly a slip in a date.
func (r *reader) tooLong() {
	if from, to := r.log.Work(); to-from > lasting {
		r.fail(r.log.Steps[len(r.log.Steps)-1].Span, "time", fmt.Sprintf("the job would have taken from %s to %s", r.when(from), r.when(to)), "dates of one job, each with the right year")
	}
}
