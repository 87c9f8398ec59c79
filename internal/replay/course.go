package replay

import (
	"context"
	"math"

	"filmfault/internal/joblog"
	"filmfault/internal/physics/drying"
	"filmfault/internal/physics/moistair"
	"filmfault/internal/uncertain"
)

// Course is what became of one face along the log, at times from the first coat
// on.
type Course struct {
	Face joblog.Face
	// Times in s of the log.
	Times []float64
	// Water above rest in air of 50 %, kg for each kg of dry film, over the draws.
	Water []uncertain.Range
	// Film, Air and Dew are temperatures in K, Humidity a fraction: the air as it
	// was logged, the film in the middle of the draws.
	Film, Air, Dew, Humidity []float64
}

// Course follows a face as logged at so many times. Errors: those of Run.
func (j *Job) Course(ctx context.Context, d uncertain.Draws, face joblog.Face, points int) (*Course, error) {
	end, start := 0.0, math.Inf(1)
	for _, c := range j.checks() {
		end = math.Max(end, c.Time)
	}
	for _, s := range j.Log.Coats(face) {
		start, end = math.Min(start, s.When.Mid()), math.Max(end, s.When.Mid())
	}
	c := &Course{Face: face}
	for i := range points {
		c.Times = append(c.Times, start+(end+1800-start)*float64(i)/float64(points-1))
	}
	water, film := make([][]float64, points), make([][]float64, points)
	for draw := range d.Len() {
		if err := context.Cause(ctx); err != nil {
			return nil, err
		}
		f, err := j.follow(d, draw, face, nil, j.checks(), c.Times[points-1])
		if err != nil {
			return nil, err
		}
		for i, t := range c.Times {
			water[i] = append(water[i], f.above(t+before, Whole))
			film[i] = append(film[i], f.trace.At(t).Surface)
		}
	}
	for i, t := range c.Times {
		c.Water = append(c.Water, uncertain.Summarise(water[i]))
		c.Film = append(c.Film, uncertain.Summarise(film[i]).Mid)
		r := j.reading(t, wind{})
		c.Air, c.Humidity = append(c.Air, r.Temperature), append(c.Humidity, r.RH)
		c.Dew = append(c.Dew, dewPoint(r))
	}
	return c, nil
}

// dewPoint is NaN for air so dry that it has none in range.
func dewPoint(r drying.Reading) float64 {
	t, err := moistair.DewPointOf(r.Temperature, r.RH, moistair.OverWater)
	if err != nil {
		return math.NaN()
	}
	return t
}

// Faces lists the faces that are followed; two that were treated alike are one.
func (j *Job) Faces() []joblog.Face { return j.faces() }
