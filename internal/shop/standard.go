package shop

import (
	"fmt"
	"slices"

	"filmfault/internal/quantity"
	"filmfault/internal/yamldoc"
)

// Standard is what a shop holds itself to on a job, in SI.
type Standard struct {
	// DryBeforeClosing (dry-before-closing) is how long primer has stood under the
	// fan, at least, before a mask or paint closes it over, in s.
	DryBeforeClosing float64
	// FreshFan (fresh-fan) is how long, at least, it has been under the fan again
	// after it stood, in s.
	FreshFan float64
	// WetFilm (wet-film) of one coat of primer in m, at most.
	WetFilm float64
	// Thinning (thinning) as a share of the paint, at most.
	Thinning float64
	// Temperature (temperature) in K, at least, and Humidity (humidity) as a
	// fraction, at most, of the air while it dries.
	Temperature, Humidity float64
	// Fan (fan) is the speed of the air over the face in m/s, at least.
	Fan float64
	// CureBeforeSun (cure-before-sun) is how long the finish has cured, at least,
	// before it hangs in the sun, in s.
	CureBeforeSun float64
}

// Units of the trade in SI.
const (
	minute = 60.0
	hour   = 60 * minute
	day    = 24 * hour
	mil    = 0.0254e-3
	fpm    = 0.3048 / minute
	zeroF  = 459.67 * 5 / 9 // 0 F in K
	degF   = 5.0 / 9
)

// OrdinaryStandard is the standard of a shop that states none: 5 h to dry, 1 h
// of fresh fan, 12 mil, 3 % of thinner, 65 F, 60 % relative humidity, 300 fpm,
// 5 days to cure. Source: common practice, no source.
func OrdinaryStandard() Standard {
	return Standard{
		DryBeforeClosing: 5 * hour, FreshFan: 1 * hour, WetFilm: 12 * mil, Thinning: 0.03,
		Temperature: zeroF + 65*degF, Humidity: 0.60, Fan: 300 * fpm, CureBeforeSun: 5 * day,
	}
}

// bound is one line of a standard: its key, its kind, whether it holds at most
// or at least, and between which values it is of any use, in SI.
type bound struct {
	key       string
	kind      quantity.Kind
	atMost    bool
	low, high float64
	in        func(*Standard) *float64
}

// bounds lists the lines of a standard. The limits are a judgement: beyond them
// a line would hold for every job or for none.
func bounds() []bound {
	return []bound{
		{"dry-before-closing", quantity.Duration, false, 10 * minute, 30 * day, func(s *Standard) *float64 { return &s.DryBeforeClosing }},
		{"fresh-fan", quantity.Duration, false, minute, 7 * day, func(s *Standard) *float64 { return &s.FreshFan }},
		{"wet-film", quantity.Film, true, mil, 60 * mil, func(s *Standard) *float64 { return &s.WetFilm }},
		{"thinning", quantity.Share, true, 0, 0.5, func(s *Standard) *float64 { return &s.Thinning }},
		{"temperature", quantity.Temperature, false, zeroF + 32*degF, zeroF + 120*degF, func(s *Standard) *float64 { return &s.Temperature }},
		{"humidity", quantity.Humidity, true, 0.05, 0.95, func(s *Standard) *float64 { return &s.Humidity }},
		{"fan", quantity.AirSpeed, false, 20 * fpm, 900 * fpm, func(s *Standard) *float64 { return &s.Fan }},
		{"cure-before-sun", quantity.Duration, false, hour, 365 * day, func(s *Standard) *float64 { return &s.CureBeforeSun }},
	}
}

// standard reads the shop's standard over the ordinary one.
func (p *parser) standard(v yamldoc.Value) {
	if states(v) {
		var keys []string
		for _, b := range bounds() {
			keys = append(keys, b.key)
		}
		f := p.open(v, "a standard", keys)
		for _, b := range bounds() {
			if f.Has(b.key) {
				p.bound(b, f.Get(b.key))
			}
		}
		slices.Sort(p.shop.Held)
	}
}

// bound reads one line. Of a range the end counts that every value in it keeps
// to: "5-6 h" is at least 5 h, "8-10 mil" at most 10 mil.
func (p *parser) bound(b bound, v yamldoc.Value) {
	text := v.Text(p.d, "the "+b.key)
	if text == "" {
		return
	}
	q, side, wrong := measure(b.kind, text, b.example())
	value := q.Low
	if b.atMost {
		value = q.High
	}
	switch {
	case wrong != nil:
	case b.atMost && side == over:
		wrong = &refusal{"it says at least, and here stands the most that is allowed", b.example()}
	case !b.atMost && side == under:
		wrong = &refusal{"it says at most, and here stands the least that is wanted", b.example()}
	case !within(value, b.low, b.high):
		wrong = &refusal{"it is no use as a standard", b.limits(q.Unit)}
	}
	if wrong != nil {
		p.d.Error(v.Span(), "standard", fmt.Sprintf("%s: %s: %s", b.key, quoted(text), wrong.problem), wrong.remedy)
		return
	}
	*b.in(&p.shop.Standard) = value
	p.shop.Held = append(p.shop.Held, b.key)
}

// example is the ordinary line.
func (b bound) example() string {
	s := OrdinaryStandard()
	return quantity.Format(b.kind, *b.in(&s), quantity.US)
}

// limits words what is of use, in the system of the unit that was typed.
func (b bound) limits(unit string) string {
	sys := systemOf(unit)
	s := OrdinaryStandard()
	return fmt.Sprintf("between %s and %s, such as %s", quantity.Format(b.kind, b.low, sys), quantity.Format(b.kind, b.high, sys),
		quantity.Format(b.kind, *b.in(&s), sys))
}

// systemOf is the system that a unit belongs to; US for what belongs to both.
func systemOf(unit string) quantity.System {
	if slices.Contains([]string{"um", "mm", "C", "K", "m/s", "km/h"}, unit) {
		return quantity.SI
	}
	return quantity.US
}

// within holds a value to limits, with room for the rounding of units.
func within(v, low, high float64) bool {
	const rounding = 1e-9
	return v >= low-rounding*low && v <= high+rounding*high
}
