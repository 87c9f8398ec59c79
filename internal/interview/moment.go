package interview

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"filmfault/internal/joblog"
	"filmfault/internal/quantity"
)

// checkMoment returns an error when a text names no date, with or without a time
// of day, as a shop writes it.
func checkMoment(text string) error {
	if clockAlone(text) {
		return fmt.Errorf("that names no day; write the date too, like 4/3 %s", text)
	}
	if _, err := joblog.ReadMoment(text, time.UTC); err != nil {
		return fmt.Errorf("%w, or leave it empty if it is not known", err)
	}
	return nil
}

// clockAlone reports whether a text is a time of day without a date.
func clockAlone(text string) bool {
	m, err := joblog.ReadMoment("2000-01-01 "+text, time.UTC)
	return err == nil && m.HasClock
}

// doubtMoment says why a time is of little use: hours decide how far a coat was
// dry.
func doubtMoment(text string) string {
	if m, err := joblog.ReadMoment(text, time.UTC); err == nil && !m.HasClock {
		return fmt.Sprintf("%q has no time of day, and nothing is worked out from the log without it", text)
	}
	return ""
}

// earlier reports whether a time is before another, where both say enough to
// tell.
func earlier(text, than string) bool {
	a, err := joblog.ReadMoment(text, time.UTC)
	b, otherErr := joblog.ReadMoment(than, time.UTC)
	return err == nil && otherErr == nil && a.HasYear == b.HasYear && a.HasClock && b.HasClock && a.Before(b.Time)
}

// later is the stretch of time in a text such as "3 h later" or "overnight". A
// time of day is none, though it may read like hours and minutes.
func later(text string) (stretch string, ok bool) {
	stretch = strings.ToLower(strings.TrimSpace(text))
	said := false
	for _, word := range []string{" later", " after that", " afterwards", " after"} {
		if before, found := strings.CutSuffix(stretch, word); found {
			stretch, said = strings.TrimSpace(before), true
			break
		}
	}
	if !said && clockAlone(text) {
		return "", false
	}
	_, err := quantity.Parse(quantity.Duration, stretch, "")
	return stretch, err == nil
}

var errNoTime = errors.New("that says not when; write the date and time, like 4/3 2:30 pm, or how long after the line before, like 3 h later")

// checkTime returns an error when a text is neither a date nor a stretch of time
// after the line before; counts says whether there is one to count from.
func checkTime(text string, counts bool) error {
	if _, err := joblog.ReadMoment(text, time.UTC); err == nil {
		return nil
	}
	_, ok := later(text)
	switch {
	case ok && !counts:
		return errors.New("there is no time before this line to count from; write the date and time, like 4/3 2:30 pm")
	case ok:
		return nil
	case clockAlone(text):
		return fmt.Errorf("that names no day; write the date too, like 4/3 %s", text)
	}
	return errNoTime
}
