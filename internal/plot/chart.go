// Package plot draws what happened along a job over one axis of time: panels
// with lines, ranges around them and limits, and numbered marks where somebody
// did something. One description of a chart is drawn as text for a terminal
// (Text), as a picture for a page (SVG) or is read out as plain lines (Table).
//
// Nothing is told by colour alone. The same chart gives the same bytes
// everywhere. Values that are not numbers are gaps; what cannot be drawn is
// left out or said in words, and nothing panics.
package plot

import "time"

// Chart is what is to be drawn: panels one below the other over one axis of
// time. Times are in seconds on that axis.
type Chart struct {
	// Title stands above the chart.
	Title string
	// Start is what the clock showed at second 0, in the zone of the place. A
	// zero Start means that no clock is known: times are then counted.
	Start time.Time
	// From and To bound what is drawn. Where they are no range of at least a
	// second, the chart takes the range of what is in it.
	From, To float64
	// Panels are drawn from top to bottom.
	Panels []Panel
	// Marks are drawn through all panels and numbered in order of time.
	Marks []Mark
}

// Panel is one strip of the chart with an axis of its own.
type Panel struct {
	// Title says what is drawn.
	Title string
	// Unit follows every number: "%", "F", "mph".
	Unit string
	// Lines are told apart by dashes, letters or signs in this order.
	Lines []Line
	// Limits are drawn across the panel.
	Limits []Limit
	// FromZero makes the axis begin at 0 where no value is lower.
	FromZero bool
}

// Line is one quantity over time.
type Line struct {
	// Name is what the legend and the table call it.
	Name string
	// Points are joined by straight lines in the order given, which should be
	// that of time. A point that is not finite is a gap.
	Points []Point
	// Band is a range around the line, such as what 90 of 100 draws lie in.
	Band []Band
	// BandName is what the legend calls the band; empty is "range".
	BandName string
}

// Point is a value at a time.
type Point struct {
	At    float64 // s
	Value float64
}

// Band is a range of values at a time.
type Band struct {
	At        float64 // s
	Low, High float64
}

// Limit is a level across a panel: a line where Low is High or one of them is
// not finite, else the two edges of a zone.
type Limit struct {
	Name      string
	Low, High float64
}

// Mark is something that happened at an instant.
type Mark struct {
	At   float64 // s
	Text string
}
