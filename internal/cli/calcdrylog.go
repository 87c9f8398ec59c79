package cli

import (
	"fmt"
	"math"
	"os"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"filmfault/internal/airlog"
	"filmfault/internal/joblog"
	"filmfault/internal/physics/drying"
	"filmfault/internal/physics/drying/exchange"
	"filmfault/internal/quantity"
	"filmfault/internal/source"
)

// logFlags say where the air was logged and when the first coat went on.
type logFlags struct {
	file, start string
	zone        *wordFlag[*time.Location]
	unit, dates *choice
}

// add puts the flags on a command.
func (f *logFlags) add(cmd *cobra.Command) {
	f.zone = &wordFlag[*time.Location]{kind: "zone", understand: readPlaceZone}
	f.unit, f.dates = &choice{known: []string{"F", "C"}}, &choice{known: []string{"month-first", "day-first"}}
	cmd.Flags().StringVar(&f.file, "air-log", "", "the air of a logger's CSV `file`, in place of --air and --humidity")
	cmd.Flags().Var(f.zone, "air-zone", "zone of the logger's clock and of --start, such as America/Chicago")
	cmd.Flags().Var(f.unit, "air-unit", "unit of the log's temperatures, where it does not say")
	cmd.Flags().Var(f.dates, "air-dates", "how the log writes dates such as 03/04/2026, where it does not show")
	cmd.Flags().StringVar(&f.start, "start", "", "when the first coat went on, such as \"2026-04-03 8:00\"; else the first reading (a `time`)")
}

func readPlaceZone(s string) (*time.Location, error) {
	zone, err := time.LoadLocation(s)
	if err != nil || s == "" || s == "Local" {
		return nil, fmt.Errorf("it is no time zone; write a place of the zone, such as America/Chicago")
	}
	return zone, nil
}

// loggedAir is the air of a logger's file on the clock of the first coat.
type loggedAir struct {
	name  string
	start time.Time // of the first coat, in the zone of the log
	air   drying.Air
	// known is how long after the first coat the log goes, in s; the last reading
	// is held from then on.
	known float64
	notes []string
}

// read reads the log as far as so many seconds after the start. What is wrong in
// the file is told.
func (f *logFlags) read(a *app, seconds float64) (*loggedAir, error) {
	series, zoned, err := f.series(a)
	if err != nil {
		return nil, err
	}
	l := &loggedAir{name: f.file}
	if err := f.settleStart(l, series, zoned); err != nil {
		return nil, err
	}
	if list := l.unlikely(series); len(list) > 0 {
		f.complain(a, list)
		return nil, errTold
	}
	return l, l.take(series, seconds)
}

// series opens and reads the file. zoned says that the file states its zone
// itself.
func (f *logFlags) series(a *app) (s *airlog.Series, zoned bool, err error) {
	s, list, err := f.open(f.zone.value)
	unzoned := f.zone.value == nil && slices.ContainsFunc(list, func(d source.Diagnostic) bool {
		return d.Check == "time-zone" && d.Severity == source.Error
	})
	if err == nil && unzoned { // then the log and --start are on one clock, whatever it is
		s, list, err = f.open(time.UTC)
	}
	if err != nil {
		return nil, false, err
	}
	if len(list) > 0 {
		f.complain(a, list)
	}
	if s == nil {
		return nil, false, errTold
	}
	return s, f.zone.value == nil && !unzoned, nil
}

// open reads the file in a zone; nil is none.
func (f *logFlags) open(zone *time.Location) (*airlog.Series, source.List, error) {
	const what = "the CSV file that the logger's program exports"
	file, err := os.Open(f.file)
	if err != nil {
		return nil, nil, noSuchFile(f.file, what, err)
	}
	defer func() { _ = file.Close() }() // it was only read
	if info, err := file.Stat(); err == nil && info.IsDir() {
		return nil, nil, fmt.Errorf("%s is a folder; name %s in it", f.file, what)
	}
	order := map[string]airlog.DateOrder{"month-first": airlog.MonthFirst, "day-first": airlog.DayFirst}[f.dates.value]
	assume := airlog.Assume{Temperature: f.unit.value, Dates: order}
	s, list, err := airlog.Read(file, airlog.Options{File: f.file, Location: zone, Assume: assume})
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", f.file, err)
	}
	return s, list, nil
}

// complain prints what is wrong in the log, with the lines it stands in.
func (f *logFlags) complain(a *app, list source.List) {
	sources := map[string][]byte{}
	if data, err := os.ReadFile(f.file); err == nil {
		sources[f.file] = data
	}
	a.complain(list, sources)
	if f.unit.value == "" && lacksUnit(list) {
		asked := *f
		asked.unit = &choice{value: "F"}
		if _, list, err := asked.open(time.UTC); err == nil && !lacksUnit(list) {
			fmt.Fprintln(a.talking(), "Say which unit it is with --air-unit F or --air-unit C.")
		}
	}
}

// lacksUnit says that a log was refused for the unit of its temperatures.
func lacksUnit(list source.List) bool {
	return slices.ContainsFunc(list, func(d source.Diagnostic) bool { return d.Severity == source.Error && d.Check == "temperature-unit" })
}

// earliest is how long before the first reading a coat may have gone on, in s.
const earliest = 3600

// settleStart finds when the first coat went on.
func (f *logFlags) settleStart(l *loggedAir, s *airlog.Series, zoned bool) error {
	zone := time.UTC
	if f.zone.value != nil {
		zone = f.zone.value
	}
	first, last := s.Start().In(zone), s.End().In(zone)
	if f.start == "" {
		l.start = first
		clock := clockTime(first)
		if zoned {
			clock += " UTC"
		}
		l.note("--start was not stated: the first coat is taken to go on with the first reading, %s.", clock)
		return nil
	}
	m, err := joblog.ReadMoment(f.start, zone)
	switch {
	case err != nil:
		return usagef("--start %q: %w", f.start, err)
	case !m.HasClock:
		return usagef("--start %q has no time of day; write it like 2026-04-03 8:00", f.start)
	case !m.HasYear:
		m.Time = time.Date(first.Year(), m.Month(), m.Day(), m.Hour(), m.Minute(), m.Second(), 0, zone)
	}
	if zoned && !offsetStated(f.start) {
		return usagef("the log states its own time zone, and --start none; add --air-zone, such as --air-zone America/Chicago")
	}
	l.start = m.Time
	if before := first.Sub(m.Time).Seconds(); before > earliest || m.After(last) {
		return usagef("the log runs from %s to %s, and --start %s lies outside of it; write a time within, or name the log of that day",
			clockTime(first), clockTime(last), clockTime(m.Time))
	}
	if f.zone.value == nil && !zoned {
		l.note("No zone was stated: the log and --start are taken to be on one clock.")
	}
	return nil
}

// offsetStated says that a time is written with its offset: then no zone is
// needed to read it.
func offsetStated(text string) bool {
	probe := time.FixedZone("", 0)
	m, err := joblog.ReadMoment(text, probe)
	return err == nil && m.Location() != probe
}

func clockTime(t time.Time) string { return t.Format("2006-01-02 15:04") }

func (l *loggedAir) note(format string, args ...any) {
	l.notes = append(l.notes, fmt.Sprintf(format, args...))
}

// at is an instant on the clock of the first coat, in s.
func (l *loggedAir) at(t time.Time) float64 { return t.Sub(l.start).Seconds() }

// clock is a time on the clock of the place.
func (l *loggedAir) clock(t float64) string {
	return clockTime(l.start.Add(time.Duration(t * float64(time.Second))))
}

// unlikely lists the first reading from the start on that no shop has.
func (l *loggedAir) unlikely(s *airlog.Series) source.List {
	var out source.List
	for i := range s.Len() {
		r := s.Reading(i)
		if l.at(r.Time()) < -earliest || r.Temperature >= coldestShop && r.Temperature <= hottestShop {
			continue
		}
		span := source.Span{File: l.name, Start: source.Pos{Line: s.Line(i)}}
		out.Error(span, "temperature", quantity.Format(quantity.Temperature, r.Temperature, quantity.US)+" is no air of a shop",
			"the log of the room where the piece dried, in the unit that its head names; a head without one is read as --air-unit says")
		return out
	}
	return out
}

// longestGap is how long a log may be silent before it counts as ended there, in
// s. The same as for the log of a job.
const longestGap = 24 * 3600

// take gathers the readings from the start to so many seconds after it.
func (l *loggedAir) take(s *airlog.Series, seconds float64) error {
	l.known = l.at(s.End())
	for _, g := range s.Gaps() {
		if from, to := l.at(g.From), l.at(g.To); to > 0 && to-from > longestGap {
			l.known = min(l.known, max(from, 0))
		}
	}
	l.tellGaps(s)
	var list []drying.Reading
	for i := range s.Len() {
		r := s.Reading(i)
		t := l.at(r.Time())
		if t > l.known || t > seconds+longestGap {
			break
		}
		list = append(list, drying.Reading{Time: t, Air: exchange.Air{Temperature: r.Temperature, RH: r.Humidity, Speed: 1}})
	}
	list = startingAt(list, 0)
	if last := list[len(list)-1]; last.Time < seconds {
		last.Time = seconds
		list = append(list, last)
	}
	var err error
	l.air, err = drying.NewAir(list)
	return err
}

// startingAt drops readings that are over before a time, and holds the first
// back to it.
func startingAt(list []drying.Reading, t float64) []drying.Reading {
	first := 0
	for first+1 < len(list) && list[first+1].Time <= t {
		first++
	}
	list = list[first:]
	if len(list) > 0 && list[0].Time > t {
		held := list[0]
		held.Time = t
		list = slices.Insert(list, 0, held)
	}
	return list
}

// tellGaps tells of the longest gap within what is used.
func (l *loggedAir) tellGaps(s *airlog.Series) {
	var longest airlog.Gap
	for _, g := range s.Gaps() {
		if l.at(g.To) > 0 && l.at(g.From) < l.known && g.To.Sub(g.From) > longest.To.Sub(longest.From) {
			longest = g
		}
	}
	if !longest.To.IsZero() {
		l.note("The log has nothing from %s to %s: the air is taken to have changed evenly.", l.clock(l.at(longest.From)), l.clock(l.at(longest.To)))
	}
}

// tellEnd says until when the air is known, where a coat needs longer.
func (l *loggedAir) tellEnd(needed float64) {
	if needed > l.known && !math.IsNaN(needed) {
		l.note("The log is known until %s. From then on its last reading is held, and what comes later is only as good as that.", l.clock(l.known))
	}
}
