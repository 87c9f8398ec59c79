package joblog

import (
	"errors"
	"strings"
	"time"
	_ "time/tzdata" // the zones of a case are known on every machine
)

// ErrNoDate says that a text names no date.
var ErrNoDate = errors.New("that names no date; write it like 2026-04-03 8:00 or 4/3 8am")

// Moment is a clock time as written: with or without a year and a time of day.
type Moment struct {
	time.Time
	HasYear, HasClock bool
}

// ReadMoment reads a date, with or without a time of day, as a shop writes it:
// "2026-04-03 8:00", "4/3 8am", "Apr 3, 2026 at 2:30 pm", "2026-04-03T08:00Z".
// Slashes are month first. The zone is that given unless the text states an
// offset. The error is ErrNoDate.
func ReadMoment(text string, zone *time.Location) (Moment, error) {
	for _, form := range []string{time.RFC3339, "2006-01-02T15:04Z07:00", "2006-01-02 15:04Z07:00", "2006-01-02 15:04 -07:00", "2006-01-02 15:04:05 -07:00"} {
		if t, err := time.Parse(form, strings.TrimSpace(text)); err == nil {
			return Moment{t, true, true}, nil
		}
	}
	text = strings.NewReplacer(",", " ", " at ", " ", " noon", " 12:00", " midnight", " 0:00").Replace(strings.ToLower(text))
	text = strings.Join(strings.Fields(text), " ")
	for _, date := range dateForms() {
		for _, clock := range clockForms() {
			if t, err := time.ParseInLocation(date.form+clock, text, zone); err == nil {
				return Moment{t, date.year, clock != ""}, nil
			}
		}
	}
	return Moment{}, ErrNoDate
}

// dateForm is a way to write a date.
type dateForm struct {
	form string
	year bool
}

func dateForms() []dateForm {
	return []dateForm{
		{"2006-1-2", true}, {"1/2", false}, {"1/2/06", true}, {"1/2/2006", true}, {"Jan 2", false}, {"January 2", false},
		{"2 Jan", false}, {"2 January", false}, {"Jan 2 2006", true}, {"January 2 2006", true}, {"2 Jan 2006", true},
		{"2 January 2006", true}, {"Mon 2006-1-2", true}, {"Mon 1/2", false}, {"Mon Jan 2", false},
	}
}

func clockForms() []string {
	return []string{" 15:04", " 15:04:05", "t15:04", "t15:04:05", " 3pm", " 3 pm", " 3:04pm", " 3:04 pm", ""}
}
