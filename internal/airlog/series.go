package airlog

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"
	"time"

	"filmfault/internal/physics/moistair"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// ErrEmpty says that there is no reading to make a series of.
var ErrEmpty = errors.New("there is no reading of the air")

// Reading is the air at one instant.
type Reading struct {
	// at is the instant in ns since 1970.
	at int64
	// Temperature is in K.
	Temperature float64
	// Humidity is relative humidity as a fraction, over water also below
	// freezing, as sensors give it.
	Humidity float64
	// DewPoint is in K as the logger wrote it; NaN where it did not.
	DewPoint float64
}

// At makes a reading of an instant, for hand readings. Temperature is in K,
// humidity a fraction.
func At(t time.Time, temperature, humidity float64) Reading {
	return Reading{at: t.UnixNano(), Temperature: temperature, Humidity: humidity, DewPoint: math.NaN()}
}

// Time gives the instant, in UTC.
func (r Reading) Time() time.Time { return time.Unix(0, r.at).UTC() }

// Series is readings of the air in order of time. Between two readings no
// further apart than MaxGap the air is taken to change in a straight line;
// within a longer gap, before the first and after the last reading nothing is
// known. It does not change once made.
type Series struct {
	readings   []placed
	usual, gap int64 // ns
	gaps       []int // indices of readings before a gap
	// sums up to each reading, over what is covered: of the time in s, and of
	// each column times the time.
	sums []sums
}

// sums are integrals over time.
type sums struct{ time, temperature, humidity, vapour float64 }

// NewSeries makes a series of readings that were taken by hand or elsewhere.
// maxGap is how long a reading is believed to lead on to the next; 0 takes 2.5
// times the usual step. Errors: ErrEmpty; readings not in order of time or
// twice at one instant; a temperature outside -50 to 100 C; a humidity that is
// no fraction from 0 to 1.
func NewSeries(readings []Reading, maxGap time.Duration) (*Series, error) {
	all := make([]placed, len(readings))
	for i, r := range readings {
		if i > 0 && r.at <= readings[i-1].at {
			return nil, fmt.Errorf("the readings of the air are out of order: %s comes after %s",
				r.Time().Format(time.RFC3339), readings[i-1].Time().Format(time.RFC3339))
		}
		all[i] = placed{Reading: r}
	}
	return newSeries(all, maxGap)
}

// newSeries makes a series of readings in order.
func newSeries(readings []placed, maxGap time.Duration) (*Series, error) {
	if len(readings) == 0 {
		return nil, ErrEmpty
	}
	s := &Series{readings: readings, gap: int64(maxGap), sums: make([]sums, len(readings))}
	s.findGap()
	before, err := readings[0].values()
	if err != nil {
		return nil, err
	}
	for i := 1; i < len(readings); i++ {
		now, err := readings[i].values()
		if err != nil {
			return nil, err
		}
		s.sums[i] = s.sums[i-1]
		if step := readings[i].at - readings[i-1].at; step <= s.gap {
			s.sums[i].add(before, now, float64(step)/1e9)
		} else {
			s.gaps = append(s.gaps, i-1)
		}
		before = now
	}
	return s, nil
}

// findGap sets the usual step and, unless it was given, the longest that is
// covered.
func (s *Series) findGap() {
	if len(s.readings) < 2 {
		return
	}
	steps := make([]int64, len(s.readings)-1)
	for i := range steps {
		steps[i] = s.readings[i+1].at - s.readings[i].at
	}
	usual, gap := usualGap(steps)
	s.usual = usual
	if s.gap <= 0 {
		s.gap = gap
	}
}

// values are the columns that are averaged, at one reading; time is 1.
func (r *Reading) values() (sums, error) {
	if err := uncertain.Within("air temperature", quantity.Temperature, r.Temperature, coldest, hottest); err != nil {
		return sums{}, err
	}
	pv, err := moistair.VapourPressure(r.Temperature, r.Humidity, moistair.OverWater)
	return sums{1, r.Temperature, r.Humidity, pv}, err
}

// add adds a step of s seconds over which the columns go straight from a to b.
func (x *sums) add(a, b sums, s float64) {
	x.time += s
	x.temperature += s * (a.temperature + b.temperature) / 2
	x.humidity += s * (a.humidity + b.humidity) / 2
	x.vapour += s * (a.vapour + b.vapour) / 2
}

// Len gives the number of readings.
func (s *Series) Len() int { return len(s.readings) }

// Reading gives a reading by its index, from 0 to Len-1.
func (s *Series) Reading(i int) Reading { return s.readings[i].Reading }

// Line gives the line of the file that a reading stands in, 0 for one that
// comes from no file.
func (s *Series) Line(i int) int { return int(s.readings[i].line) }

// Start gives the instant of the first reading, in UTC.
func (s *Series) Start() time.Time { return s.readings[0].Time() }

// End gives the instant of the last reading, in UTC.
func (s *Series) End() time.Time { return s.readings[len(s.readings)-1].Time() }

// Interval gives the usual step between readings; 0 for a single one.
func (s *Series) Interval() time.Duration { return time.Duration(s.usual) }

// MaxGap gives the longest step between two readings that counts as covered.
func (s *Series) MaxGap() time.Duration { return time.Duration(s.gap) }

// Gap is a stretch in which nothing was logged.
type Gap struct{ From, To time.Time }

// Gaps lists the gaps between readings, in order.
func (s *Series) Gaps() []Gap {
	out := make([]Gap, len(s.gaps))
	for i, at := range s.gaps {
		out[i] = Gap{s.readings[at].Time(), s.readings[at+1].Time()}
	}
	return out
}

// Mean is the air averaged over a stretch of time.
type Mean struct {
	// Temperature is in K, Humidity a fraction.
	Temperature, Humidity float64
	// VapourPressure is in Pa: what drives drying, and not quite the pressure
	// at the mean temperature and humidity.
	VapourPressure float64
	// Covered is how much of the stretch was logged; the averages are over it.
	Covered time.Duration
}

// Mean averages the air over what was logged between two instants, readings
// joined by straight lines; from equal to to gives the air at that instant. It
// is false when nothing was logged in the stretch, or to is before from. The
// time taken does not depend on the length of the stretch.
func (s *Series) Mean(from, to time.Time) (Mean, bool) {
	a, b := instant(from), instant(to)
	if b < a {
		return Mean{}, false
	}
	if a == b {
		now, ok := s.at(a)
		m := now.mean()
		m.Covered = 0
		return m, ok
	}
	x, y := s.upTo(a), s.upTo(b)
	y.time -= x.time
	if y.time <= 0 {
		return Mean{}, false
	}
	y.temperature -= x.temperature
	y.humidity -= x.humidity
	y.vapour -= x.vapour
	return y.mean(), true
}

// instant is a time in ns since 1970, held to some 127 years on either side so
// that differences stay in range.
func instant(t time.Time) int64 {
	const most = 4_000_000_000 // s
	return min(max(t.Unix(), -most), most)*1e9 + int64(t.Nanosecond())
}

// mean divides by the time. Round-off must not push a saturated air beyond
// what other packages take.
func (x sums) mean() Mean {
	if x.time == 0 {
		return Mean{}
	}
	return Mean{x.temperature / x.time, min(max(x.humidity/x.time, 0), 1), x.vapour / x.time, time.Duration(math.Round(x.time * 1e9))}
}

// Missing gives how much of the time between two instants was not logged; 0
// when to is before from.
func (s *Series) Missing(from, to time.Time) time.Duration {
	a, b := instant(from), instant(to)
	if b <= a {
		return 0
	}
	covered := s.upTo(b).time - s.upTo(a).time
	return max(0, time.Duration(b-a)-time.Duration(math.Round(covered*1e9)))
}

// before is the index of the last reading at or before an instant, -1 for none.
func (s *Series) before(at int64) int {
	return sort.Search(len(s.readings), func(i int) bool { return s.readings[i].at > at }) - 1
}

// at is the columns at an instant, time being 0: no stretch is covered.
func (s *Series) at(at int64) (sums, bool) {
	i := s.before(at)
	if i < 0 {
		return sums{}, false
	}
	// The readings were checked when the series was made.
	now, _ := s.readings[i].values()
	if s.readings[i].at == at {
		return now, true
	}
	if i+1 == len(s.readings) || s.isGap(i) {
		return sums{}, false
	}
	next, _ := s.readings[i+1].values()
	part := float64(at-s.readings[i].at) / float64(s.readings[i+1].at-s.readings[i].at)
	return now.between(next, part), true
}

// between is a straight line from x to y.
func (x sums) between(y sums, part float64) sums {
	return sums{1, x.temperature + part*(y.temperature-x.temperature),
		x.humidity + part*(y.humidity-x.humidity), x.vapour + part*(y.vapour-x.vapour)}
}

// isGap says that a gap follows a reading.
func (s *Series) isGap(i int) bool {
	_, found := slices.BinarySearch(s.gaps, i)
	return found
}

// upTo is the sums from the first reading to an instant.
func (s *Series) upTo(at int64) sums {
	i := s.before(at)
	if i < 0 {
		return sums{}
	}
	total := s.sums[i]
	if i+1 < len(s.readings) && s.readings[i].at < at && !s.isGap(i) {
		now, _ := s.readings[i].values()
		then, _ := s.at(at)
		total.add(now, then, float64(at-s.readings[i].at)/1e9)
	}
	return total
}
