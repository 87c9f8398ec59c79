// Package sunheat computes how hot a painted face gets: from the sun, by its
// colour, facing, hour, day and latitude, the air and the wind; from blasting
// and routing, as a bound; and what pressure that heat makes under a film.
//
// The sun's heat is an energy balance of a face with an insulated back, held
// below the heat build-up published for black: a plain balance in still air
// overshoots what is measured. The package does not know whether a film can
// bear the heat or a spot grow; package blister sets pressures against spots.
//
// Everything is in SI, angles in radians (see Degree), compass directions from
// north through east, hours in solar time (see SolarHour). Outside its range a
// function returns an *uncertain.OutOfRange. It sits on physics/moistair,
// uncertain and quantity.
package sunheat

import (
	"math"
	"time"

	"filmfault/internal/uncertain"
)

// Degree is one degree in radians.
const Degree = math.Pi / 180

// Sun is where the sun stands.
type Sun struct {
	// Altitude above the horizon in radians, negative at night.
	Altitude float64
	// Azimuth is the compass direction in radians, 0 north, pi/2 east.
	Azimuth float64
}

// Position gives where the sun stands at a latitude in radians (north positive,
// -pi/2 to pi/2), on a day of the year from 1 to 366, at an hour of solar time
// from 0 to 24: sin(altitude) = cos L cos d cos H + sin L sin d, H 15 degrees for
// each hour after noon, d = 23.45 degrees sin(2 pi (284+n)/365) the declination
// (Cooper 1969, within half a degree; geometry as in the ASHRAE Handbook of
// Fundamentals). No refraction.
func Position(latitude float64, day int, hour float64) (Sun, error) {
	if err := uncertain.WithinUnit("latitude", "radians", latitude, -math.Pi/2, math.Pi/2); err != nil {
		return Sun{}, err
	}
	if err := checkDay(day); err != nil {
		return Sun{}, err
	}
	if err := uncertain.WithinUnit("hour of the day", "h", hour, 0, 24); err != nil {
		return Sun{}, err
	}
	return position(latitude, day, hour), nil
}

// position is Position within range.
func position(latitude float64, day int, hour float64) Sun {
	d := 23.45 * Degree * math.Sin(2*math.Pi*float64(284+day)/365)
	h := (hour - 12) * 15 * Degree
	up := math.Cos(latitude)*math.Cos(d)*math.Cos(h) + math.Sin(latitude)*math.Sin(d)
	south := math.Sin(latitude)*math.Cos(d)*math.Cos(h) - math.Cos(latitude)*math.Sin(d)
	west := math.Cos(d) * math.Sin(h)
	return Sun{Altitude: math.Asin(min(max(up, -1), 1)), Azimuth: math.Pi + math.Atan2(west, south)}
}

// checkDay refuses a day that no year has.
func checkDay(day int) error {
	return uncertain.WithinUnit("day of the year", "", float64(day), 1, 366)
}

// SolarHour gives the hour of solar time, 0 to 24, of an instant at a longitude
// in radians (east positive): universal time + longitude/15 degrees + E, E = 9.87
// sin 2B - 7.53 cos B - 1.5 sin B minutes, B = 2 pi (n-81)/364, n the day of the
// year (equation of time, within a minute; textbook, from memory). A clock on
// summer time is about an hour ahead of it. Range of the longitude: -pi to pi.
func SolarHour(t time.Time, longitude float64) (float64, error) {
	if err := uncertain.WithinUnit("longitude", "radians", longitude, -math.Pi, math.Pi); err != nil {
		return 0, err
	}
	t = t.UTC()
	b := 2 * math.Pi * float64(t.YearDay()-81) / 364
	equation := 9.87*math.Sin(2*b) - 7.53*math.Cos(b) - 1.5*math.Sin(b)
	hour := float64(t.Hour()) + float64(t.Minute())/60 + float64(t.Second())/3600 + longitude/Degree/15 + equation/60
	return math.Mod(hour+48, 24), nil
}

// Sky is what a clear sky sends down, in W/m2.
type Sky struct {
	// Beam falls on a face turned to the sun, Diffuse on level ground from all
	// of the sky but the sun.
	Beam, Diffuse float64
}

// ClearSky gives the irradiance of a clear sky: Beam = A exp(-B/sin(altitude)),
// Diffuse = C Beam, altitude in radians, A, B and C by the month (ASHRAE Handbook
// of Fundamentals 1997, constants of Machler and Iqbal 1985, straight lines
// between the 21st of each month). Made for the United States in average
// haze; +-15 % elsewhere, more on mountains. 0 when the sun is down. Range: day 1
// to 366, altitude -pi/2 to pi/2.
func ClearSky(altitude float64, day int) (Sky, error) {
	if err := uncertain.WithinUnit("altitude of the sun", "radians", altitude, -math.Pi/2, math.Pi/2); err != nil {
		return Sky{}, err
	}
	if err := checkDay(day); err != nil {
		return Sky{}, err
	}
	return clearSky(altitude, day), nil
}

// clearSky is ClearSky within range.
func clearSky(altitude float64, day int) Sky {
	if altitude <= 0 {
		return Sky{}
	}
	a, b, c := haze(day)
	beam := a * math.Exp(-b/math.Sin(altitude))
	return Sky{Beam: beam, Diffuse: c * beam}
}

// haze gives A in W/m2, B and C of a day.
func haze(day int) (a, b, c float64) {
	as := [12]float64{1202, 1187, 1164, 1130, 1106, 1092, 1093, 1107, 1136, 1166, 1190, 1204}
	bs := [12]float64{.141, .142, .149, .164, .177, .185, .186, .182, .165, .152, .144, .141}
	cs := [12]float64{.103, .104, .109, .120, .130, .137, .138, .134, .121, .111, .106, .103}
	dates := [12]int{21, 52, 80, 111, 141, 172, 202, 233, 264, 294, 325, 355} // of the 21st
	next := 0
	for next < 12 && dates[next] < day {
		next++
	}
	before := (next + 11) % 12
	next %= 12
	step := float64((dates[next] - dates[before] + 365) % 365)
	part := float64((day-dates[before]+365)%365) / step
	between := func(x [12]float64) float64 { return x[before] + part*(x[next]-x[before]) }
	return between(as), between(bs), between(cs)
}

// Facing is which way a face looks.
type Facing struct {
	// Azimuth is the compass direction in radians, 0 north, pi/2 east.
	Azimuth float64
	// Tilt is 0 for a face that looks up, pi/2 for one that stands upright.
	Tilt float64
}

// check refuses a direction that is none.
func (f Facing) check() error {
	if err := uncertain.WithinUnit("compass direction", "radians", f.Azimuth, -2*math.Pi, 4*math.Pi); err != nil {
		return err
	}
	return uncertain.WithinUnit("tilt of the face", "radians", f.Tilt, 0, math.Pi)
}

// Ground is the share of sunlight that usual ground throws back (ASHRAE Handbook
// of Fundamentals); snow throws back some .7.
const Ground = 0.2

// Irradiance gives what falls on a face in W/m2, of a sun and a sky: Beam cos i
// + Diffuse (Y sin tilt + cos tilt) + (Beam sin(altitude) + Diffuse) ground (1 -
// cos tilt)/2, i the angle to the sun, Y = max(.45, .55 + .437 cos i + .313 cos^2
// i), cos tilt not below 0 in the middle term (ASHRAE Handbook of Fundamentals
// 2013, chapter 14). Nothing stands in the way of sun or sky. Range: tilt 0 to
// pi, ground 0 to 1.
func Irradiance(sun Sun, sky Sky, face Facing, ground float64) (float64, error) {
	if err := face.check(); err != nil {
		return 0, err
	}
	if err := uncertain.WithinUnit("share that the ground throws back", "", ground, 0, 1); err != nil {
		return 0, err
	}
	for _, v := range []float64{sky.Beam, sky.Diffuse} {
		if err := uncertain.WithinUnit("sunlight", "W/m2", v, 0, 1500); err != nil {
			return 0, err
		}
	}
	if err := uncertain.WithinUnit("altitude of the sun", "radians", sun.Altitude, -math.Pi/2, math.Pi/2); err != nil {
		return 0, err
	}
	return irradiance(sun, sky, face, ground), nil
}

// irradiance is Irradiance within range.
func irradiance(sun Sun, sky Sky, face Facing, ground float64) float64 {
	cos := math.Cos(sun.Altitude)*math.Cos(sun.Azimuth-face.Azimuth)*math.Sin(face.Tilt) + math.Sin(sun.Altitude)*math.Cos(face.Tilt)
	y := math.Max(0.45, 0.55+0.437*cos+0.313*cos*cos)
	level := sky.Beam*math.Max(math.Sin(sun.Altitude), 0) + sky.Diffuse
	return sky.Beam*max(cos, 0) + sky.Diffuse*(y*math.Sin(face.Tilt)+max(math.Cos(face.Tilt), 0)) +
		level*ground*(1-math.Cos(face.Tilt))/2
}

// Peak gives the hour of solar time at which a face gets most sun on a clear
// day, to 6 min, and how much in W/m2: when the sun's heat is to be read. East
// faces peak in the morning, west faces late, north faces hardly. Range: that of
// Position and Irradiance.
func Peak(latitude float64, day int, face Facing) (hour, most float64, err error) {
	if err := face.check(); err != nil {
		return 0, 0, err
	}
	if _, err := Position(latitude, day, 12); err != nil {
		return 0, 0, err
	}
	hour = 12
	for tenth := range 241 {
		at := float64(tenth) / 10
		sun := position(latitude, day, at)
		if v := irradiance(sun, clearSky(sun.Altitude, day), face, Ground); v > most {
			hour, most = at, v
		}
	}
	return hour, most, nil
}
