package drying

import (
	"fmt"
	"math"
	"sort"

	"filmfault/internal/physics/drying/exchange"
)

// Reading is the air at one time.
type Reading struct {
	// Time in s, on whatever clock the events use.
	Time float64
	exchange.Air
}

// Air is the air along a log: straight between readings, with a jump where two
// readings have the same time. Copies share the readings, so that one log
// serves many draws.
type Air struct {
	log *airLog
	// corrections of the readings
	warmer, damper, faster, sunnier float64
}

// airLog holds readings and their integrals over time, so that the mean over a
// step costs the same however many readings lie within it.
type airLog struct {
	times []float64
	// at holds temperature, humidity, root of the speed, radiation. The root is
	// averaged because blown air's coefficient goes with it.
	at  [][4]float64
	sum [][4]float64
	// low and high bound the readings, so that a mean is never beyond them by
	// the rounding of the integrals.
	low, high [4]float64
	// jumps are the times at which the air changes at a stroke.
	jumps []float64
}

// NewAir takes the readings of a log in the order of their times. One reading
// is the air for all time; more are the air from the first to the last of them.
// Errors: no reading, times out of order or more than two at one time, air
// outside the range of exchange.Air.
func NewAir(readings []Reading) (Air, error) {
	if len(readings) == 0 {
		return Air{}, fmt.Errorf("there is no reading of the air to compute from")
	}
	log := &airLog{times: make([]float64, len(readings)), at: make([][4]float64, len(readings)),
		sum: make([][4]float64, len(readings))}
	for i, r := range readings {
		if err := checkReading(readings, i); err != nil {
			return Air{}, fmt.Errorf("reading %d of the air: %w", i+1, err)
		}
		log.times[i] = r.Time
		log.at[i] = [4]float64{r.Temperature, r.RH, math.Sqrt(r.Speed), r.Radiation}
		if i == 0 {
			log.low, log.high = log.at[0], log.at[0]
			continue
		}
		log.add(i)
	}
	return Air{log: log, faster: 1, sunnier: 1}, nil
}

// checkReading refuses a reading that cannot be, or not at its place.
func checkReading(readings []Reading, i int) error {
	r := readings[i]
	if math.IsNaN(r.Time) || math.IsInf(r.Time, 0) {
		return fmt.Errorf("it has no time")
	}
	if i > 0 && r.Time < readings[i-1].Time {
		return fmt.Errorf("its time is before that of the reading above it")
	}
	if i > 1 && r.Time == readings[i-2].Time {
		return fmt.Errorf("it is the third at the same time")
	}
	return r.Check()
}

// add integrates from reading i-1 to i.
func (l *airLog) add(i int) {
	half := (l.times[i] - l.times[i-1]) / 2
	for k := range l.at[i] {
		l.sum[i][k] = l.sum[i-1][k] + half*(l.at[i-1][k]+l.at[i][k])
		l.low[k], l.high[k] = min(l.low[k], l.at[i][k]), max(l.high[k], l.at[i][k])
	}
	if half == 0 && l.at[i] != l.at[i-1] {
		l.jumps = append(l.jumps, l.times[i])
	}
}

// Steady is air that never changes.
func Steady(a exchange.Air) (Air, error) { return NewAir([]Reading{{Air: a}}) }

// Sampled asks a function for the air every so many seconds from one time to
// another, both included. Errors: those of NewAir, a step that is not above 0,
// more than ten million readings.
func Sampled(f func(t float64) exchange.Air, from, to, every float64) (Air, error) {
	n := math.Ceil((to - from) / every)
	if !(every > 0) || !(n >= 0 && n < 1e7) {
		return Air{}, fmt.Errorf("the air cannot be read every %g s from %g to %g s", every, from, to)
	}
	readings := make([]Reading, 0, int(n)+1)
	for i := range int(n) + 1 {
		t := min(from+float64(i)*every, to)
		readings = append(readings, Reading{Time: t, Air: f(t)})
	}
	return NewAir(readings)
}

// Warmer gives the same log with k kelvin added to every temperature: a
// thermometer that reads low. The humidities stay as read.
func (a Air) Warmer(k float64) Air {
	a.warmer += k
	return a
}

// Damper gives the same log with a fraction added to every relative humidity,
// kept between 0 and 1: a hygrometer that reads low.
func (a Air) Damper(fraction float64) Air {
	a.damper += fraction
	return a
}

// Faster gives the same log with every air speed multiplied.
func (a Air) Faster(factor float64) Air {
	a.faster *= factor
	return a
}

// Sunnier gives the same log with the heat taken up multiplied: the absorptance
// of another colour.
func (a Air) Sunnier(factor float64) Air {
	a.sunnier *= factor
	return a
}

// Span gives the times between which the air is known; endless for one reading.
func (a Air) Span() (from, to float64) {
	if a.log == nil {
		return math.NaN(), math.NaN()
	}
	if len(a.log.times) == 1 {
		return math.Inf(-1), math.Inf(1)
	}
	return a.log.times[0], a.log.times[len(a.log.times)-1]
}

// Mean gives the average air from one time to a later one: temperature,
// humidity and radiation averaged plainly, the speed by its root. Between equal
// times it is the air at that time. Outside the span the nearest reading holds.
func (a Air) Mean(from, to float64) exchange.Air {
	got, _ := a.mean(from, to, 0)
	return got
}

// mean is Mean with a hint where to look first; it gives the hint for the next
// call.
func (a Air) mean(from, to float64, hint int) (exchange.Air, int) {
	first := a.log.find(from, hint)
	if to <= from {
		return a.correct(a.log.value(from, first)), first
	}
	last := a.log.find(to, first)
	before, after := a.log.integral(from, first), a.log.integral(to, last)
	var v [4]float64
	for k := range v {
		v[k] = min(max((after[k]-before[k])/(to-from), a.log.low[k]), a.log.high[k])
	}
	return a.correct(v), last
}

// correct turns a mean into air, with the corrections of this draw.
func (a Air) correct(v [4]float64) exchange.Air {
	return exchange.Air{
		Temperature: v[0] + a.warmer,
		RH:          min(max(v[1]+a.damper, 0), 1),
		Speed:       v[2] * v[2] * a.faster,
		Radiation:   v[3] * a.sunnier,
	}
}

// find gives the last reading at or before t, or the first of all.
func (l *airLog) find(t float64, hint int) int {
	i := hint
	for steps := 0; steps < 32; steps++ {
		switch {
		case i+1 < len(l.times) && l.times[i+1] <= t:
			i++
		case l.times[i] > t && i > 0:
			i--
		default:
			return i
		}
	}
	return max(sort.Search(len(l.times), func(k int) bool { return l.times[k] > t })-1, 0)
}

// value is the air at t, i being the reading before it.
func (l *airLog) value(t float64, i int) [4]float64 {
	if i+1 == len(l.times) || t <= l.times[i] {
		return l.at[i]
	}
	share := (t - l.times[i]) / (l.times[i+1] - l.times[i])
	v := l.at[i]
	for k := range v {
		v[k] += share * (l.at[i+1][k] - v[k])
	}
	return v
}

// integral is that from the first reading to t, i being the reading before it.
func (l *airLog) integral(t float64, i int) [4]float64 {
	v, s := l.value(t, i), l.sum[i]
	for k := range s {
		s[k] += (t - l.times[i]) / 2 * (l.at[i][k] + v[k])
	}
	return s
}
