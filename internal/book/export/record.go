package export

import "filmfault/internal/casefile"

// Record is a case as a line of JSON.
type Record struct {
	Schema   int     `json:"schema"`
	Case     string  `json:"case"`
	Title    string  `json:"title"`
	Invented bool    `json:"invented"`
	Started  string  `json:"started"`
	Rules    Rules   `json:"rules"`
	Job      Job     `json:"job"`
	Failures []Entry `json:"failures"`
	Facts    []Entry `json:"facts"`
	Findings []Entry `json:"findings"`
	Log      *Log    `json:"log"`
	Photos   []Photo `json:"photos"`
	Verdict  *Judged `json:"verdict"`
	Notes    string  `json:"notes"`
}

// Rules names the rules a case was last worked with.
type Rules struct {
	Digest string   `json:"digest"`
	Layers []string `json:"layers"`
}

// Job is what the shop knows of a job. The last four are not there unless private
// lines are asked for.
type Job struct {
	Number    string  `json:"number"`
	Finished  string  `json:"finished"`
	Seen      string  `json:"seen"`
	Board     string  `json:"board"`
	BoardLot  string  `json:"board_lot"`
	PrimerLot string  `json:"primer_lot"`
	PaintLot  string  `json:"paint_lot"`
	Drying    string  `json:"drying"`
	Note      string  `json:"note"`
	Customer  *string `json:"customer,omitempty"`
	Address   *string `json:"address,omitempty"`
	Contact   *string `json:"contact,omitempty"`
	Painter   *string `json:"painter,omitempty"`
}

// Entry is one answer.
type Entry struct {
	ID         string `json:"id"`
	Answer     string `json:"answer"`
	Value      string `json:"value"`
	NotChecked bool   `json:"not_checked"`
	Sure       string `json:"sure"`
	Source     string `json:"source"`
	Note       string `json:"note"`
	Asked      string `json:"asked"`
}

// Log is the job log.
type Log struct {
	Later  bool    `json:"later"`
	Zone   string  `json:"zone"`
	Shop   string  `json:"shop"`
	Panel  Panel   `json:"panel"`
	Logger Logger  `json:"logger"`
	Coats  []Coat  `json:"coats"`
	Steps  []Step  `json:"steps"`
	Air    []Stand `json:"air"`
}

// Panel is the piece as it dried.
type Panel struct {
	Along  string `json:"along"`
	Across string `json:"across"`
	Stands string `json:"stands"`
}

// Logger is the file of a data logger, and what the file does not say of itself.
type Logger struct {
	File        string `json:"file"`
	Zone        string `json:"zone"`
	ClockAhead  string `json:"clock_ahead"`
	Temperature string `json:"temperature"`
	Humidity    string `json:"humidity"`
	Dates       string `json:"dates"`
}

// Coat is one coat of the log.
type Coat struct {
	Face       string `json:"face"`
	Material   string `json:"material"`
	Start      string `json:"start"`
	WetFilm    string `json:"wet_film"`
	Thinning   string `json:"thinning"`
	ThinningOf string `json:"thinning_of"`
	Tool       string `json:"tool"`
	Air        string `json:"air"`
	Humidity   string `json:"humidity"`
	Fan        string `json:"fan"`
	ToNext     string `json:"to_next"`
	Note       string `json:"note"`
}

// Step is a line of the log that is no coat.
type Step struct {
	At       string `json:"at"`
	After    string `json:"after"`
	Do       string `json:"do"`
	Face     string `json:"face"`
	Material string `json:"material"`
	Speed    string `json:"speed"`
	TakesOff string `json:"takes_off"`
	Note     string `json:"note"`
}

// Stand is a reading of the air by hand.
type Stand struct {
	At          string `json:"at"`
	Temperature string `json:"temperature"`
	Humidity    string `json:"humidity"`
	Note        string `json:"note"`
}

// Photo is a photograph beside the case.
type Photo struct {
	File    string `json:"file"`
	Caption string `json:"caption"`
}

// Judged is the verdict.
type Judged struct {
	Settled  string     `json:"settled"`
	By       string     `json:"by"`
	Causes   []Cause    `json:"causes"`
	Unlisted bool       `json:"unlisted"`
	NoFault  bool       `json:"no_fault"`
	Note     string     `json:"note"`
	Pays     string     `json:"pays"`
	Changed  string     `json:"changed"`
	Costs    []Cost     `json:"costs"`
	Ranking  []Standing `json:"ranking"`
	Rules    string     `json:"ranked_with"`
}

// Cause is the verdict on one cause, and the measurement that gave it.
type Cause struct {
	Cause string `json:"cause"`
	State string `json:"state"`
	By    string `json:"by"`
}

// Cost is one line of what a case cost.
type Cost struct {
	What   string `json:"what"`
	Amount string `json:"amount"`
}

// Standing is a place of the ranking as it stood when the case was settled.
type Standing struct {
	Cause       string  `json:"cause"`
	Contributed float64 `json:"contributed"`
}

// Whole is a case with everything in it, private lines too.
func Whole(c *casefile.Case, id string) Record { return recordOf(c, id, true) }

func recordOf(c *casefile.Case, id string, private bool) Record {
	r := Record{
		Schema: Schema, Case: id, Title: c.Title, Invented: c.Invented, Started: c.Started, Notes: c.Notes,
		Rules: Rules{Digest: c.Rules.Digest, Layers: each(c.Rules.Layers, func(l string) string { return l })},
		Job:   jobOf(&c.Job, private), Failures: each(c.Failures, entryOf), Facts: each(c.Facts, entryOf), Findings: each(c.Findings, entryOf),
		Log:     logOf(c),
		Photos:  each(c.Photos, func(p casefile.Photo) Photo { return Photo{p.File, p.Caption} }),
		Verdict: judged(c.Verdict),
	}
	return r
}

// each turns a list over; it is never nil, so that JSON has [].
func each[T, U any](list []T, turn func(T) U) []U {
	out := make([]U, len(list))
	for i, x := range list {
		out[i] = turn(x)
	}
	return out
}

func jobOf(j *casefile.Job, private bool) Job {
	out := Job{
		Number: j.Number, Finished: j.Finished, Seen: j.Seen, Board: j.Board, BoardLot: j.BoardLot, PrimerLot: j.PrimerLot,
		PaintLot: j.PaintLot, Drying: j.Drying, Note: j.Note,
	}
	if private {
		out.Customer, out.Address, out.Contact, out.Painter = &j.Customer, &j.Address, &j.Contact, &j.Painter
	}
	return out
}

func entryOf(e casefile.Entry) Entry {
	return Entry{ID: e.ID, Answer: e.Answer, Value: e.Value, NotChecked: e.NotChecked, Sure: e.Sure, Source: e.Source, Note: e.Note, Asked: e.Asked}
}

func logOf(c *casefile.Case) *Log {
	l := &c.Log
	out := &Log{Later: c.LogLater, Zone: l.Zone, Shop: l.Shop, Panel: Panel{l.Panel.Along, l.Panel.Across, l.Panel.Stands}}
	g := l.Logger
	out.Logger = Logger{File: g.File, Zone: g.Zone, ClockAhead: g.ClockAhead, Temperature: g.Temperature, Humidity: g.Humidity, Dates: g.Dates}
	out.Coats = each(c.Coats, func(x casefile.Coat) Coat {
		return Coat{
			Face: x.Face, Material: x.Material, Start: x.Start, WetFilm: x.WetFilm, Thinning: x.Thinning, ThinningOf: x.ThinningOf,
			Tool: x.Tool, Air: x.Air, Humidity: x.Humidity, Fan: x.Fan, ToNext: x.ToNext, Note: x.Note,
		}
	})
	out.Steps = each(l.Steps, func(x casefile.Step) Step {
		return Step{At: x.At, After: x.After, Do: x.Do, Face: x.Face, Material: x.Material, Speed: x.Speed, TakesOff: x.TakesOff, Note: x.Note}
	})
	out.Air = each(l.Air, func(x casefile.AirReading) Stand {
		return Stand{At: x.At, Temperature: x.Temperature, Humidity: x.Humidity, Note: x.Note}
	})
	if !out.Later && out.Zone+out.Shop == "" && out.Panel == (Panel{}) && out.Logger == (Logger{}) && len(out.Coats)+len(out.Steps)+len(out.Air) == 0 {
		return nil
	}
	return out
}

func judged(v *casefile.Verdict) *Judged {
	if v == nil {
		return nil
	}
	return &Judged{
		Settled: v.Settled, By: v.By, Unlisted: v.Unlisted, NoFault: v.NoFault, Note: v.Note, Pays: v.Pays, Changed: v.Changed, Rules: v.Rules,
		Causes:  each(v.Causes, func(x casefile.Finding) Cause { return Cause{x.Cause, x.State, x.By} }),
		Costs:   each(v.Costs, func(x casefile.Cost) Cost { return Cost{x.What, x.Amount} }),
		Ranking: each(v.Ranking, func(x casefile.Standing) Standing { return Standing{x.Cause, x.Contributed} }),
	}
}
