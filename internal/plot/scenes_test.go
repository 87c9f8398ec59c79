package plot

import (
	"math"
	"strings"
	"time"

	"pgregory.net/rapid"
)

// demonstration is an invented job: four days from the first coat to the
// hanging, with a cold night, a fan, and a logger that stopped for a while.
func demonstration() Chart {
	const span = 4 * day
	var water, air, film, dew, humidity []Point
	var band []Band
	for t := 0.0; t <= span; t += 1800 {
		hours := t / hour
		sun := math.Sin((hours - 1) / 24 * 2 * math.Pi)
		a := 62 + 14*sun
		lost := 52*math.Exp(-hours/9) + 6
		if hours > 30 {
			lost += 34 * math.Exp(-(hours-30)/14)
		}
		water = append(water, Point{t, lost})
		band = append(band, Band{t, lost * 0.72, lost*1.22 + 2})
		if hours > 50 && hours < 55 {
			a = math.NaN()
		}
		air = append(air, Point{t, a})
		film = append(film, Point{t, a - 5*math.Exp(-math.Mod(hours, 30)/6) - 1})
		dew = append(dew, Point{t, 51 + hours/16 + 2*math.Sin(hours/9)})
		humidity = append(humidity, Point{t, 62 - 22*sun})
	}
	return Chart{
		Title: "Invented job: two coats on a monument sign",
		Start: time.Date(2026, time.June, 12, 7, 30, 0, 0, time.UTC),
		To:    span,
		Panels: []Panel{
			{Title: "Water left in the film", Unit: "%", FromZero: true,
				Lines:  []Line{{Name: "water", Points: water, Band: band, BandName: "5 to 95 of 100"}},
				Limits: []Limit{{Name: "ready for the next coat, at most", Low: 15, High: 15}}},
			{Title: "Temperature", Unit: "F",
				Lines: []Line{{Name: "air", Points: air}, {Name: "film surface", Points: film}, {Name: "dew point", Points: dew}}},
			{Title: "Relative humidity", Unit: "%",
				Lines:  []Line{{Name: "air at the sign", Points: humidity}},
				Limits: []Limit{{Name: "range on the label", Low: 40, High: 70}}},
		},
		Marks: []Mark{
			{0.5 * hour, "first coat, both faces"}, {1.5 * hour, "fan on"}, {9 * hour, "fan off"}, {26 * hour, "sanded"},
			{28 * hour, "masked"}, {30 * hour, "second coat"}, {30.5 * hour, "fan on"}, {36 * hour, "fan off"},
			{76 * hour, "out in the sun"}, {94 * hour, "hung"},
		},
	}
}

// crowded is an invented job of ten days with more marks and longer words than
// anybody should read.
func crowded() Chart {
	c := demonstration()
	c.Title = strings.Repeat("Ten days, <three> coats and a title that goes on ", 4)
	c.To = 10 * day
	c.Marks = nil
	for i := range 90 {
		c.Marks = append(c.Marks, Mark{float64(i/3)*8*hour + 600*float64(i%3), "event with a note of some length"})
	}
	c.Marks[40].Text = strings.Repeat("the film was still soft and the night was to be cold, ", 8)
	c.Panels[0].Title = strings.Repeat("Water left in the film of the second coat ", 5)
	c.Panels[1].Unit = "degrees on the scale of the sensor"
	c.Panels[1].Lines = append(c.Panels[1].Lines, Line{Name: strings.Repeat("board ", 40)}, Line{}, Line{})
	return c
}

// drawnChart draws charts of every kind, most of them unreasonable.
func drawnChart() *rapid.Generator[Chart] {
	return rapid.Custom(func(t *rapid.T) Chart {
		c := Chart{
			Title: words().Draw(t, "title"),
			From:  instant().Draw(t, "from"),
			To:    instant().Draw(t, "to"),
			Marks: rapid.SliceOfN(mark(), 0, 30).Draw(t, "marks"),
		}
		if rapid.Bool().Draw(t, "clock") {
			c.Start = time.Date(2026, time.June, 12, 7, 30, 0, 0, time.UTC)
		}
		c.Panels = rapid.SliceOfN(rapid.Custom(drawPanel), 0, 3).Draw(t, "panels")
		return c
	})
}

func drawPanel(t *rapid.T) Panel {
	p := Panel{Title: words().Draw(t, "title"), Unit: words().Draw(t, "unit"), FromZero: rapid.Bool().Draw(t, "zero")}
	for range rapid.IntRange(0, 4).Draw(t, "lines") {
		l := Line{Name: words().Draw(t, "name"), BandName: words().Draw(t, "band")}
		for range rapid.IntRange(0, 12).Draw(t, "points") {
			l.Points = append(l.Points, Point{instant().Draw(t, "at"), value().Draw(t, "value")})
		}
		for range rapid.IntRange(0, 6).Draw(t, "bands") {
			l.Band = append(l.Band, Band{instant().Draw(t, "at"), value().Draw(t, "low"), value().Draw(t, "high")})
		}
		p.Lines = append(p.Lines, l)
	}
	for range rapid.IntRange(0, 2).Draw(t, "limits") {
		p.Limits = append(p.Limits, Limit{words().Draw(t, "limit"), value().Draw(t, "low"), value().Draw(t, "high")})
	}
	return p
}

func mark() *rapid.Generator[Mark] {
	return rapid.Custom(func(t *rapid.T) Mark {
		return Mark{instant().Draw(t, "at"), words().Draw(t, "text")}
	})
}

func words() *rapid.Generator[string] {
	return rapid.OneOf(rapid.String(), rapid.StringMatching(`[a-z %]{0,30}`), rapid.Just("\u6f06\u55b7 <b>&\"'\x00\x1b[31m \u202eabc caf\u00e9"))
}

// instant draws times on an axis of ten days, and some that are none.
func instant() *rapid.Generator[float64] {
	return rapid.OneOf(rapid.Float64Range(0, 10*day), rapid.Float64Range(-day, 12*day), rapid.Float64(), notNumbers())
}

func value() *rapid.Generator[float64] {
	return rapid.OneOf(rapid.Float64Range(0, 100), rapid.Float64(), rapid.Just(7.0), notNumbers())
}

func notNumbers() *rapid.Generator[float64] {
	return rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -math.MaxFloat64, 5e-324, 0})
}
