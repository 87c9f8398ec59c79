package report

import (
	"context"
	"fmt"

	"filmfault/internal/implied"
	"filmfault/internal/joblog"
	"filmfault/internal/plot"
	"filmfault/internal/quantity"
	"filmfault/internal/replay"
	"filmfault/internal/uncertain"
)

// How a chart is drawn: enough points that no step of a log is missed, enough
// draws for the range.
const (
	chartPoints = 240
	chartDraws  = 64
)

// Chart draws one face along the log: water left in the film with its range,
// temperatures with the dew point, humidity, and what was done. Errors: those of
// a replay.
func Chart(ctx context.Context, log *implied.Log, face joblog.Face, name string, sys quantity.System) (plot.Chart, error) {
	course, err := log.Job.Course(ctx, uncertain.NewDraws(chartDraws, implied.Seed), face, chartPoints)
	if err != nil {
		return plot.Chart{}, err
	}
	first, last := course.Times[0], course.Times[len(course.Times)-1]
	c := plot.Chart{Title: fmt.Sprintf("%s: the %s along its log", name, face), Start: log.Job.Log.Clock(first), From: 0, To: last - first}
	c.Panels = []plot.Panel{waterPanel(course), temperaturePanel(course, sys), humidityPanel(course)}
	for _, s := range log.Job.Log.Steps {
		if at := s.When.Mid() - first; s.On(face) && at >= 0 && at <= c.To {
			c.Marks = append(c.Marks, plot.Mark{At: at, Text: markText(log.Job.Log, s)})
		}
	}
	return c, nil
}

// markText is what a step is called beside its number.
func markText(l *joblog.Log, s joblog.Step) string {
	if s.Kind == joblog.Coat {
		return l.Materials[s.Material].Name
	}
	return s.Kind.Words()
}

// waterPanel is the water above what the film holds when dry, in percent of the
// dry film's weight.
func waterPanel(c *replay.Course) plot.Panel {
	line := plot.Line{Name: "water", BandName: "5 to 95 of 100 draws"}
	for i, t := range c.Times {
		at := t - c.Times[0]
		w := c.Water[i]
		line.Points = append(line.Points, plot.Point{At: at, Value: 100 * max(0, w.Mid)})
		line.Band = append(line.Band, plot.Band{At: at, Low: 100 * max(0, w.Low), High: 100 * max(0, w.High)})
	}
	return plot.Panel{Title: "Water above what the film holds when dry", Unit: "%", Lines: []plot.Line{line}, FromZero: true}
}

func temperaturePanel(c *replay.Course, sys quantity.System) plot.Panel {
	unit, of := "F", func(k float64) float64 { return (k-273.15)*1.8 + 32 }
	if sys == quantity.SI {
		unit, of = "C", func(k float64) float64 { return k - 273.15 }
	}
	return plot.Panel{Title: "Temperature", Unit: unit, Lines: []plot.Line{
		lineOf("air", c, c.Air, of), lineOf("film", c, c.Film, of), lineOf("dew point", c, c.Dew, of),
	}}
}

func humidityPanel(c *replay.Course) plot.Panel {
	line := lineOf("humidity", c, c.Humidity, func(h float64) float64 { return 100 * h })
	return plot.Panel{Title: "Relative humidity", Unit: "%", Lines: []plot.Line{line}}
}

func lineOf(name string, c *replay.Course, values []float64, of func(float64) float64) plot.Line {
	l := plot.Line{Name: name}
	for i, v := range values {
		l.Points = append(l.Points, plot.Point{At: c.Times[i] - c.Times[0], Value: of(v)})
	}
	return l
}
