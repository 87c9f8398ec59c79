package casefile

import (
	"fmt"

	"filmfault/internal/yamldoc"
)

// Job is what the shop knows of the job besides what rates depend on: dates,
// lots, and whose sign it is. Customer, Address and Contact are private: copies
// for others leave them out.
type Job struct {
	Number, Finished, Seen                    string // finished: last coat; seen: failure first seen; dates
	Board, BoardLot, PrimerLot, PaintLot      string
	Drying                                    string // how it was dried: rack, bench, box
	Customer, Address, Contact, Painter, Note string
	Place
}

func (j *Job) fields() []field {
	return []field{
		{"number", &j.Number}, {"finished", &j.Finished}, {"seen", &j.Seen}, {"board", &j.Board}, {"board-lot", &j.BoardLot},
		{"primer-lot", &j.PrimerLot}, {"paint-lot", &j.PaintLot}, {"drying", &j.Drying}, {"painter", &j.Painter},
		{"customer", &j.Customer}, {"address", &j.Address}, {"contact", &j.Contact}, {"note", &j.Note},
	}
}

// Photo is a picture that belongs to a case: a file beside it.
type Photo struct {
	File, Caption string
	Place
}

func (x *Photo) fields() []field { return []field{{"file", &x.File}, {"caption", &x.Caption}} }

// Cost is one line of what a case cost, as typed: "lift rental", "180".
type Cost struct {
	What, Amount string
	Place
}

func (x *Cost) fields() []field { return []field{{"what", &x.What}, {"amount", &x.Amount}} }

// Standing is a cause of the ranking as it stood when the case was settled, so
// that hindsight cannot rewrite it.
type Standing struct {
	Cause       string
	Contributed float64
}

// Settlement is what a verdict says besides the causes.
type Settlement struct {
	Pays    string // who pays
	Changed string // what was changed in the shop
	Costs   []Cost
	Ranking []Standing // first places, as they stood
	Rules   string     // digest of the rules of that ranking
}

func settlementKeys() []string { return []string{"pays", "changed", "costs", "ranking", "ranked-with"} }

func (p parser) settlement(f yamldoc.Fields) Settlement {
	s := Settlement{Pays: f.Get("pays").TextOr(""), Changed: f.Get("changed").TextOr(""), Rules: f.Get("ranked-with").TextOr("")}
	s.Costs = lines(p, f.Get("costs"), "cost", func(x *Cost) ([]field, *Place) { return x.fields(), &x.Place })
	for _, item := range f.Get("ranking").Items(p.d, "the ranking") {
		g := item.FieldsKeepingUnknown(p.d, "a place of the ranking", "cause", "contributed")
		x := Standing{Cause: g.Need(p.d, "cause").Text(p.d, "the cause")}
		v := g.Need(p.d, "contributed")
		var ok bool
		if x.Contributed, ok = v.Number(p.d, "the probability"); ok && (x.Contributed < 0 || x.Contributed > 1) {
			p.d.Error(v.Span(), "probability", fmt.Sprintf("%v is outside 0 to 1", x.Contributed), "a probability such as 0.62")
		}
		s.Ranking = append(s.Ranking, x)
	}
	return s
}

func (s Settlement) write(m *yamldoc.Map) {
	setText(m, "pays", s.Pays)
	setLines(m, "costs", s.Costs, func(x *Cost) []field { return x.fields() })
	setText(m, "changed", s.Changed)
	var ranking []*yamldoc.Map
	for _, x := range s.Ranking {
		line := yamldoc.NewMap("cause", "contributed")
		line.Set("cause", x.Cause)
		line.Set("contributed", x.Contributed)
		ranking = append(ranking, line)
	}
	if len(ranking) > 0 {
		m.Set("ranking", ranking)
	}
	setText(m, "ranked-with", s.Rules)
}
