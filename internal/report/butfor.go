package report

import (
	"filmfault/internal/diagnosis"
	"filmfault/internal/implied"
)

// ButFor is what alone, and what together, would have kept a finish sound.
type ButFor struct {
	Schema int    `json:"schema"`
	Case   string `json:"case"`
	Rules  Rules  `json:"rules"`
	Draws  int    `json:"draws"`
	// Departures of the log from the shop's standard.
	Departures []Logged      `json:"departures"`
	Events     []ButForEvent `json:"events"`
	Notes      []string      `json:"notes"`
}

// Logged is a departure as it was logged.
type Logged struct {
	Departure string `json:"departure"`
	Logged    string `json:"logged"`
}

// ButForEvent is one event of the log. Chance is its probability as logged; Blame
// its share of the failures seen, null where it enters no ranking.
type ButForEvent struct {
	Event      string      `json:"event"`
	Title      string      `json:"title"`
	Chance     Number      `json:"chance"`
	Low        Number      `json:"low"`
	High       Number      `json:"high"`
	Departures []Departure `json:"departures"`
	Smallest   [][]string  `json:"smallest"`
}

// Departure is one departure undone. Without is the chance of the event then, the
// rest as logged.
type Departure struct {
	Departure string  `json:"departure"`
	Without   Number  `json:"without"`
	Sound     bool    `json:"sound"`
	Blame     *Number `json:"blame"`
}

// ButForOf gathers the events of a log. e may be nil, for a case in which no
// failure is seen: there is then no blame to split.
func ButForOf(e *diagnosis.Evaluation, log *implied.Log, events []implied.Event, name string, rules Rules, draws int) ButFor {
	out := ButFor{Schema: Schema, Case: name, Rules: rules, Draws: draws, Departures: []Logged{}, Events: []ButForEvent{}, Notes: orEmpty(log.Notes)}
	for _, d := range log.Departures {
		out.Departures = append(out.Departures, Logged{string(d.Departure), d.Text})
	}
	for _, x := range events {
		ev := ButForEvent{
			Event: x.Calculation.ID, Title: x.Title, Chance: Number(x.Mean), Low: Number(x.Chance.Low), High: Number(x.Chance.High),
			Departures: []Departure{}, Smallest: [][]string{},
		}
		var shares [][]float64
		for _, u := range x.Alone {
			ev.Departures = append(ev.Departures, Departure{Departure: string(u.Departure), Without: Number(u.Mean), Sound: u.Sound})
			shares = append(shares, u.Share)
		}
		for _, set := range x.Smallest {
			var words []string
			for _, d := range set {
				words = append(words, string(d))
			}
			ev.Smallest = append(ev.Smallest, words)
		}
		if e != nil {
			for i, p := range e.Blame(x.Calculation.ID, shares) {
				n := Number(p)
				ev.Departures[i].Blame = &n
			}
		}
		out.Events = append(out.Events, ev)
	}
	return out
}

// DepartureName is a departure in a few words.
func DepartureName(departure string) string {
	words := map[string]string{
		"time": "too little time", "fresh-fan": "no fresh fan after standing", "standing": "damp air while it stood", "fan": "too little fan", "air": "poor air",
		"film": "too thick a film", "thinning": "too much thinner", "shade": "sun too soon", "back": "a bare face",
		"coats": "unequal coats", "kinds": "unlike coatings", "films": "unequal film",
	}
	if w, ok := words[departure]; ok {
		return w
	}
	return departure
}
