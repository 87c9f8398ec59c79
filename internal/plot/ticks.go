package plot

import (
	"fmt"
	"math"
	"time"
)

const (
	hour = 3600.0 // s
	day  = 24 * hour
	// clockReach is how far from the start, in s, times are still given by the
	// calendar.
	clockReach = 50 * 365 * day
)

// Tick is a labelled time on the axis.
type Tick struct {
	At   float64 // s
	Text string  // "8:00", or "Fri" where ticks are days apart
	Day  string  // at the first tick of each day: "Fri 12 Jun", or "12 Jun"
}

// Ticks lists the times to label between from and to, in s after start: whole
// steps of the clock at the place, from a quarter of an hour to days, the finest
// of which no more than most fit in. With a zero start the ticks count from
// second 0. A range that is none gives no ticks.
func Ticks(start time.Time, from, to float64, most int) []Tick {
	if !usableTime(from) || !usableTime(to) || to < from {
		return nil
	}
	step := stepFor(to-from, max(most, 1))
	if start.IsZero() || !withinClock(from, to) {
		return countedTicks(from, to, step)
	}
	return clockTicks(start, from, to, step)
}

func withinClock(from, to float64) bool {
	return math.Abs(from) <= clockReach && math.Abs(to) <= clockReach
}

// stepFor is the finest step that cuts a span into no more than most pieces,
// in s; beyond two days it goes on in weeks, doubling.
func stepFor(span float64, most int) float64 {
	for _, s := range []float64{hour / 4, hour / 2, hour, 2 * hour, 3 * hour, 6 * hour, 12 * hour, day, 2 * day} {
		if span <= s*float64(most) {
			return s
		}
	}
	s := 7 * day
	for span > s*float64(most) {
		s *= 2
	}
	return s
}

// clockTicks goes by the calendar of the place, so that a day of 23 or 25
// hours still has its ticks at whole hours.
func clockTicks(start time.Time, from, to, step float64) []Tick {
	var out []Tick
	first := start.Add(seconds(from))
	year, month, date := first.Date()
	days := max(1, int(step/day))
	for n := 0; ; n += days {
		for second := 0.0; second < day; second += step {
			t := time.Date(year, month, date+n, 0, 0, int(second), 0, start.Location())
			at := t.Sub(start).Seconds()
			if at > to {
				return out
			}
			if at >= from && (len(out) == 0 || at > out[len(out)-1].At) {
				out = append(out, clockTick(t, at, step, out, start))
			}
		}
	}
}

func clockTick(t time.Time, at, step float64, before []Tick, start time.Time) Tick {
	if step >= day {
		return Tick{At: at, Text: t.Format("Mon"), Day: t.Format("2 Jan")}
	}
	tick := Tick{At: at, Text: clockText(t)}
	if len(before) == 0 || start.Add(seconds(before[len(before)-1].At)).YearDay() != t.YearDay() {
		tick.Day = t.Format("Mon 2 Jan")
	}
	return tick
}

func seconds(s float64) time.Duration { return time.Duration(math.Round(s * float64(time.Second))) }

func clockText(t time.Time) string { return fmt.Sprintf("%d:%02d", t.Hour(), t.Minute()) }

func countedTicks(from, to, step float64) []Tick {
	var out []Tick
	for n := math.Ceil(from / step); n*step <= to; n++ {
		at := n * step
		if at < from {
			continue // the quotient was rounded away
		}
		tick := Tick{At: at, Text: fmt.Sprintf("%.0f min", at/60)}
		switch {
		case step >= day:
			tick.Text = fmt.Sprintf("%.0f d", at/day)
		case step >= hour:
			tick.Text = fmt.Sprintf("%.0f h", at/hour)
		}
		out = append(out, tick)
	}
	return out
}

// clock names instants within a chart.
type clock struct {
	start time.Time
	dated bool // whether days of the week come twice, so that the date is needed
}

func clockOf(start time.Time, w window) clock {
	if !withinClock(w.from, w.to) {
		return clock{}
	}
	return clock{start: start, dated: w.to-w.from > 6*day}
}

// moment names an instant to the minute.
func (c clock) moment(t float64) string {
	if c.start.IsZero() || math.Abs(t) > clockReach {
		return counted(t)
	}
	at := c.start.Add(seconds(t)).Round(time.Minute)
	if c.dated {
		return at.Format("Mon 2 Jan ") + clockText(at)
	}
	return at.Format("Mon ") + clockText(at)
}

func counted(t float64) string {
	minutes := math.Round(t / 60)
	hours := math.Trunc(minutes / 60)
	if rest := math.Abs(minutes - hours*60); rest > 0 {
		if hours == 0 {
			return fmt.Sprintf("%.0f min", minutes)
		}
		return fmt.Sprintf("%.0f h %.0f min", hours, rest)
	}
	return fmt.Sprintf("%.0f h", hours+0)
}
