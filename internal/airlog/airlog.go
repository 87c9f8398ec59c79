// Package airlog reads what a data logger wrote down about the air: the CSV
// files such devices export, in whatever order of columns, delimiter, language,
// unit and date form, into a Series of instants, temperature and humidity that
// can be averaged over any interval.
//
// It refuses to guess in silence. A file that does not say whether it is in F
// or C is asked about, as is the time zone; a date order that nothing proves is
// read month first with a warning; gaps, repeated lines and clock jumps are
// findings with line numbers. What is wrong in the file is a source.Diagnostic,
// what went wrong in reading it an error.
//
// It sits on source, quantity and physics/moistair and knows nothing of cases,
// coats or causes.
package airlog

import (
	"io"
	"time"

	"filmfault/internal/source"
)

// DateOrder says how 03/04/2026 is to be read.
type DateOrder int

// The orders. Unstated lets the file prove it, and takes the month first when
// it does not.
const (
	Unstated DateOrder = iota
	MonthFirst
	DayFirst
)

// Assume is what a person says about a file that does not say it itself. What
// the file says goes before it, with a warning where the two differ.
type Assume struct {
	// Temperature is "F", "C" or "K".
	Temperature string
	// Humidity is "percent" or "fraction".
	Humidity string
	// Dates is how dates in digits with slashes or dashes are to be read.
	Dates DateOrder
}

// Columns names columns by the text of their header, in any case, where a file
// has several that could be meant; "" takes the first.
type Columns struct {
	Temperature, Humidity, DewPoint string
}

// Options says how a file is read.
type Options struct {
	// File is the name that diagnostics carry.
	File string
	// Location is the zone the logger's clock was set to. Without one, only a
	// file whose header or readings say their zone can be read.
	Location *time.Location
	// ClockAhead is how far the logger's clock was ahead of the right time; it
	// is taken off every instant. Negative for a clock that was slow.
	ClockAhead time.Duration
	Assume     Assume
	Columns    Columns
	// MaxBytes is the largest file read; 0 means 32 MiB, about a year of
	// readings each minute.
	MaxBytes int64
	// MaxGap is the longest step between two readings that counts as covered;
	// 0 takes 2.5 times the usual step, or more for a logger whose steps vary.
	MaxGap time.Duration
}

// defaultMaxBytes is the largest file read when nothing else is said.
const defaultMaxBytes = 32 << 20

// Read reads a logger's file. The series is nil when the list has errors or err
// is not nil; warnings leave it whole. err is ErrTooLarge for a file over the
// limit, which is not read to its end, ErrNotText for one that is no text, and
// otherwise what the reader returned.
func Read(r io.Reader, opt Options) (*Series, source.List, error) {
	text, err := load(r, opt.MaxBytes)
	if err != nil {
		return nil, nil, err
	}
	f := &file{opt: opt, text: text, notes: newNotes(opt.File)}
	f.read()
	list := f.notes.list()
	if list.HasErrors() {
		return nil, list, nil
	}
	return f.series, list, nil
}

// file is one file being read.
type file struct {
	opt    Options
	text   string
	notes  *notes
	layout layout
	rows   []row
	series *Series
}

// read goes through the stages; a stage that finds an error ends it.
func (f *file) read() {
	stages := []func(){f.findLayout, f.readRows, f.settleUnits, f.settleHumidity, f.settleDates, f.settleInstants, f.build}
	for _, stage := range stages {
		stage()
		if f.notes.failed() {
			return
		}
	}
}
