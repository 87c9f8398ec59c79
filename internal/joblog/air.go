package joblog

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strings"
	"time"

	"filmfault/internal/airlog"
	"filmfault/internal/casefile"
	"filmfault/internal/quantity"
	"filmfault/internal/source"
)

// Bounds of the air of a shop, in K: past them a reading is taken for one in
// another unit.
const coldestShop, hottestShop = 258.15, 323.15

// longestUnknown is how long the air may be unknown at either end of the work
// before nothing is computed, and within it before that is said, in s.
const longestUnknown = 24 * 3600

// air gathers the readings: those of the logger, and those by hand where it did
// not log.
func (r *reader) air() {
	r.line = "the air"
	hand := r.byHand()
	logged := r.logged()
	if r.diags.HasErrors() {
		return
	}
	out := logged
	for _, x := range hand {
		if !slices.ContainsFunc(logged, func(l Reading) bool { return math.Abs(l.Time-x.Time) < 2700 }) {
			out = append(out, x)
		}
	}
	slices.SortStableFunc(out, func(a, b Reading) int { return cmp.Compare(a.Time, b.Time) })
	out = slices.CompactFunc(out, func(a, b Reading) bool { return a.Time == b.Time })
	r.log.Air = out
	if len(out) == 0 {
		r.fail(r.airPlace(), "air", "nothing says what the air was while it dried: both its temperature and its humidity", "air: readings with time, temperature and humidity, or logger: with the file of a data logger")
		return
	}
	r.known(out)
	if !r.fanSaid {
		r.note("The log says nothing of a fan: the air is taken to have moved at 20 to 200 fpm.")
	}
	if len(logged) == 0 && len(out) > 1 {
		r.note("Between hand readings the air is taken to have changed evenly.")
	}
}

// known refuses a log of the air that leaves too much of the work out.
func (r *reader) known(air []Reading) {
	from, to := r.log.Work()
	if len(air) == 1 {
		r.note("One reading of the air stands for the whole job.")
		return
	}
	ends := []float64{air[len(air)-1].Time, to}
	for i := 1; i < len(air); i++ {
		if a, b := math.Max(air[i-1].Time, from), math.Min(air[i].Time, to); b-a > longestUnknown {
			r.note("Nothing says what the air was from %s to %s: it is taken to have changed evenly.", r.when(a), r.when(b))
		}
	}
	switch {
	case ends[1]-ends[0] > longestUnknown:
		r.unknown("air-ends", ends[0], ends[1])
	case ends[1]-ends[0] > 3600:
		r.note("The air after %s is not logged: the last reading stands for it.", r.when(ends[0]))
	}
	switch first := air[0].Time; {
	case first-from > longestUnknown:
		r.unknown("air-begins", from, first)
	case first-from > 3600:
		r.note("The air before %s is not logged: the first reading stands for it.", r.when(first))
	}
}

// unknown refuses a stretch of which the log says nothing.
func (r *reader) unknown(check string, from, to float64) {
	r.fail(r.airPlace(), check, fmt.Sprintf("nothing says what the air was from %s to %s", r.when(from), r.when(to)),
		"a reading of the air for every day of the work: in air:, or air: and humidity: beside the coats, or a logger's file")
}

// airPlace is where the log speaks of the air.
func (r *reader) airPlace() source.Span {
	l := &r.c.Log
	switch {
	case len(l.Air) > 0:
		return l.Air[len(l.Air)-1].Span
	case l.Logger.File != "":
		return l.Logger.SpanOf("file")
	case len(r.c.Coats) > 0:
		return r.c.Coats[0].Span
	}
	return l.Span
}

func (r *reader) when(t float64) string { return r.log.Clock(t).Format("2006-01-02 15:04") }

// byHand reads the readings of the log and those beside the coats.
func (r *reader) byHand() []Reading {
	var out []Reading
	add := func(t float64, temperature, humidity string, at func(string) source.Span, keys [2]string) {
		if temperature == "" || humidity == "" {
			if temperature+humidity != "" {
				r.note("A reading of the air at %s lacks its temperature or its humidity and is left out.", r.when(t))
			}
			return
		}
		k, ok := r.temperature(temperature, at(keys[0]))
		h, also := r.humidity(humidity, at(keys[1]))
		if ok && also {
			out = append(out, Reading{t, k, h})
		}
	}
	for _, s := range r.log.Steps {
		if s.Kind == Coat {
			c := &r.c.Coats[s.line-1]
			add(s.When.Mid(), c.Air, c.Humidity, c.SpanOf, [2]string{"air", "humidity"})
		}
	}
	for i := range r.c.Log.Air {
		a := &r.c.Log.Air[i]
		t, ok := r.clock(a.At, a.SpanOf("at"), fmt.Sprintf("reading %d of the air", i+1))
		if ok {
			add(t-r.first, a.Temperature, a.Humidity, a.SpanOf, [2]string{"temperature", "humidity"})
		}
	}
	return out
}

func (r *reader) temperature(text string, span source.Span) (float64, bool) {
	in, ok := r.parse("air", quantity.Temperature, text, "F", span)
	if !ok {
		return 0, false
	}
	k := in.Mid()
	if k < coldestShop || k > hottestShop {
		remedy := "the temperature of the air with its unit, such as 70 F"
		if swapped, err := quantity.Parse(quantity.Temperature, strings.TrimRight(text, "CcFf° ")+" F", ""); err == nil && k > hottestShop && strings.ContainsAny(text, "cC") {
			remedy = swapped.Typed + ", if that is what was read"
		}
		r.fail(span, "temperature", fmt.Sprintf("%q is %s, which no air in a shop has", text, quantity.Format(quantity.Temperature, k, quantity.US)), remedy)
		return 0, false
	}
	return k, true
}

func (r *reader) humidity(text string, span source.Span) (float64, bool) {
	in, ok := r.parse("humidity", quantity.Humidity, text, "%", span)
	if !ok {
		return 0, false
	}
	if h := in.Mid(); h < 0.05 {
		remedy := "the relative humidity in percent, such as 55 %"
		if h > 0 && h <= 0.01 { // a fraction read as percent
			remedy = fmt.Sprintf("%.0f %%, if a fraction was meant", h*1e4)
		}
		r.fail(span, "humidity", fmt.Sprintf("%q is drier than any shop", text), remedy)
		return 0, false
	}
	return in.Mid(), true
}

// logged reads the logger's file, as far as the job goes.
func (r *reader) logged() []Reading {
	l := &r.c.Log.Logger
	if l.File == "" {
		return nil
	}
	series := r.series(l)
	if series == nil {
		return nil
	}
	var out []Reading
	from, to := r.log.Work()
	from, to = from-2*3600, to+14*86400
	for i := range series.Len() {
		x := series.Reading(i)
		t := float64(x.Time().UnixMilli())/1000 - r.first
		if t >= from && t <= to {
			out = append(out, Reading{t, x.Temperature, x.Humidity})
		}
	}
	if len(out) == 0 {
		r.fail(l.SpanOf("file"), "logger", fmt.Sprintf("the logger ran from %s to %s, and the job from %s to %s", series.Start().In(r.zone).Format("2006-01-02 15:04"),
			series.End().In(r.zone).Format("2006-01-02 15:04"), r.when(0), r.when(to-14*86400)), "the file of those days, or the zone or the error of the logger's clock")
		return nil
	}
	r.gaps(series, l)
	return out
}

// gaps notes the gaps of the logger that fall into the work.
func (r *reader) gaps(s *airlog.Series, l *casefile.Logger) {
	for _, g := range s.Gaps() {
		from, to := float64(g.From.Unix())-r.first, float64(g.To.Unix())-r.first
		begin, end := r.log.Work()
		if math.Min(to, end) > math.Max(from, begin) {
			r.note("The logger has nothing from %s to %s: between readings the air is taken to have changed evenly.", r.when(from), r.when(to))
		}
	}
}

// series opens and reads the logger's file.
func (r *reader) series(l *casefile.Logger) *airlog.Series {
	opt, ok := r.loggerOptions(l)
	if !ok {
		return nil
	}
	f, err := r.open(l.File)
	if err != nil {
		r.noFile(l, err)
		return nil
	}
	defer func() { _ = f.Close() }() // it was only read
	s, diags, err := airlog.Read(f, opt)
	for _, d := range diags {
		if d.Check != "gap" { // gaps that matter to the job are noted, or refused
			r.diags = append(r.diags, d)
		}
		if d.Check == "temperature-unit" && d.Severity == source.Error && l.Temperature == "" {
			r.fail(l.SpanOf("file"), "logger", "the file does not say whether it is in F or C", "temperature: F, or temperature: C, beside file: "+l.File)
		}
	}
	if err != nil {
		r.fail(l.SpanOf("file"), "logger", fmt.Sprintf("%s: %v", l.File, err), "the CSV file that the logger's program exports")
		return nil
	}
	return s
}

func (r *reader) noFile(l *casefile.Logger, err error) {
	if errors.Is(err, fs.ErrNotExist) {
		r.fail(l.SpanOf("file"), "logger", fmt.Sprintf("there is no file %q beside the case", l.File), "the name of the logger's file, as seen from the folder of the case")
		return
	}
	r.fail(l.SpanOf("file"), "logger", fmt.Sprintf("%s cannot be read: %v", l.File, err), "a file that may be read")
}

// loggerOptions is what the case says of the logger's file.
func (r *reader) loggerOptions(l *casefile.Logger) (airlog.Options, bool) {
	opt := airlog.Options{File: l.File, Location: r.zone, Assume: airlog.Assume{Temperature: l.Temperature, Humidity: l.Humidity}}
	if l.Zone != "" {
		zone, err := zoneNamed(l.Zone)
		if err != nil {
			r.fail(l.SpanOf("zone"), "time-zone", fmt.Sprintf("%q is no time zone", l.Zone), "a place of the zone, such as America/Chicago")
			return opt, false
		}
		opt.Location = zone
	}
	switch strings.ToLower(l.Dates) {
	case "":
	case "month-first":
		opt.Assume.Dates = airlog.MonthFirst
	case "day-first":
		opt.Assume.Dates = airlog.DayFirst
	default:
		r.fail(l.SpanOf("dates"), "dates", fmt.Sprintf("%q is no order of dates", l.Dates), "month-first or day-first")
		return opt, false
	}
	if l.ClockAhead != "" {
		behind := strings.HasPrefix(l.ClockAhead, "-")
		in, ok := r.wait("clock-ahead", strings.TrimPrefix(l.ClockAhead, "-"), l.SpanOf("clock-ahead"))
		if !ok {
			return opt, false
		}
		opt.ClockAhead = time.Duration(in.Mid() * float64(time.Second))
		if behind {
			opt.ClockAhead = -opt.ClockAhead
		}
	}
	return opt, true
}
