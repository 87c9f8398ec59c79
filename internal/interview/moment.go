package interview

import (
	"errors"
	"strings"
	"time"
)

// checkStart returns an error when a text names no date, with or without a time
// of day, as a shop writes it.
func checkStart(text string) error {
	text = strings.NewReplacer(",", " ", " at ", " ", " noon", " 12:00").Replace(strings.ToLower(text))
	text = strings.Join(strings.Fields(text), " ")
	for _, date := range dates() {
		for _, clock := range clocks() {
			if _, err := time.Parse(date+clock, text); err == nil {
				return nil
			}
		}
	}
	return errors.New("that names no date; write it like 2026-04-03 8:00 or 4/3 8am, or leave it empty if it is not known")
}

func dates() []string {
	return []string{
		"2006-1-2", "1/2", "1/2/06", "1/2/2006", "Jan 2", "January 2", "2 Jan", "2 January",
		"Jan 2 2006", "January 2 2006", "2 Jan 2006", "2 January 2006",
	}
}

func clocks() []string {
	return []string{"", " 15:04", " 15:04:05", "t15:04", "t15:04:05", " 3pm", " 3 pm", " 3:04pm", " 3:04 pm"}
}
