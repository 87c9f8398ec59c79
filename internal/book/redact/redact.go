// Package redact makes a copy of a case that can be handed on: without the
// customer, the address, the contact and the painter, and without their words
// wherever else somebody typed them. It is pure. It cannot know a name that
// stands nowhere in the job's own lines, nor what a picture shows: the Result
// lists what a person has to look at.
//
// What goes, and what takes its place:
//
//   - The job's customer, address, contact and painter are left out.
//   - Their words in titles, notes, captions and every other text become
//     [customer], [address], [contact] and [painter], in any case and with or
//     without accents. A word of four letters or more also goes where it is part
//     of another, but for words that the rules use themselves: a customer Prime
//     does not take the primer along. A shorter one goes as a whole word only.
//     Words such as "the" and "and", and single letters, go only next to others
//     of the same name. Ids, answers and figures that the rules know stay. Where
//     words stand without blanks, two letters of a name in a row go.
//   - Who signed a verdict becomes [person], but for words such as "the shop". Who
//     pays goes as a whole line when a part of it is one of these names.
//   - A path that is absolute or climbs is cut to the name of its file.
//   - In running text e-mail and web addresses, phone numbers and house numbers
//     with a street become [e-mail], [web], [phone] and [address].
//   - The wording of a question that was kept with an answer goes if it holds one
//     of the words.
//   - Comments, and keys that filmfault does not know, are not copied: they may
//     hold anything.
package redact

import (
	"slices"
	"strings"
	"unicode"

	"filmfault/internal/casefile"
)

// Result is the copy and what was done to make it.
type Result struct {
	Case     *casefile.Case
	Taken    []string   // lines of the job that are left out
	Replaced []Replaced // in the order of their first place
	Cut      []string   // places whose paths are cut to the name of the file
	Look     []string   // what a person has to look at, in words
}

// Replaced is one mark that stands for words now: how often, and where.
type Replaced struct {
	Mark   string
	Times  int
	Places []string
}

// Case makes the copy of a case. The case itself stays as it is.
//
// It is put together line by line, so that what is added to case files later is
// left out until somebody decides here whether it may be handed on.
func Case(c *casefile.Case, t Trade) Result {
	w := &worker{names: namesOf(c.Job), trade: t}
	n := &casefile.Case{
		ID: c.ID, Title: c.Title, Invented: c.Invented, Started: c.Started, LogLater: c.LogLater, Notes: c.Notes,
		Rules: casefile.RulesUsed{Digest: c.Rules.Digest, Layers: slices.Clone(c.Rules.Layers)},
		Facts: slices.Clone(c.Facts), Failures: slices.Clone(c.Failures), Findings: slices.Clone(c.Findings),
		Coats: slices.Clone(c.Coats), Log: c.Log, Job: c.Job, Photos: slices.Clone(c.Photos), Verdict: verdictCopy(c.Verdict),
	}
	n.Log.Place = casefile.Place{}
	n.Log.Steps, n.Log.Air = slices.Clone(c.Log.Steps), slices.Clone(c.Log.Air)
	w.label("case", &n.ID)
	w.prose("title", &n.Title)
	for i := range n.Rules.Layers {
		w.path("rules.layers", &n.Rules.Layers[i])
		w.label("rules", &n.Rules.Layers[i])
	}
	w.job(&n.Job)
	w.entries("facts", n.Facts)
	w.entries("failures", n.Failures)
	w.entries("findings", n.Findings)
	w.log(n)
	w.photos(n.Photos)
	w.verdict(n.Verdict)
	w.prose("notes", &n.Notes)
	return Result{Case: n, Taken: w.taken, Replaced: w.replaced, Cut: w.cut, Look: w.look}
}

// Name is a name outside of a case, such as that of its file, without the private
// words of its job.
func Name(j casefile.Job, name string, t Trade) string {
	out, _ := namesOf(j).clean(name, given, t)
	return out
}

func verdictCopy(v *casefile.Verdict) *casefile.Verdict {
	if v == nil {
		return nil
	}
	n := *v
	n.Causes, n.Costs, n.Ranking = slices.Clone(v.Causes), slices.Clone(v.Costs), slices.Clone(v.Ranking)
	return &n
}

// worker goes through a copy, and keeps account.
type worker struct {
	names    names
	trade    Trade
	taken    []string
	replaced []Replaced
	cut      []string
	look     []string
}

// prose is running text, which may hold anything.
func (w *worker) prose(place string, text *string) { w.clean(place, text, running) }

// label is a name or number that somebody gave: no phone numbers are looked for
// in it, since lots and job numbers look like them.
func (w *worker) label(place string, text *string) { w.clean(place, text, given) }

// terms are words that the program reads: those of the trade stay.
func (w *worker) terms(place string, texts ...*string) {
	for _, t := range texts {
		w.clean(place, t, read)
	}
}

func (w *worker) clean(place string, text *string, k kind) {
	if *text == "" {
		return
	}
	if k == running {
		if _, doubt := calls(*text); doubt {
			w.look = append(w.look, "[phone] in "+place+", which may have been readings")
		}
	}
	out, marks := w.names.clean(*text, k, w.trade)
	*text = out
	for _, m := range marks {
		w.count(m, place)
	}
}

// payer is who pays: what is left of a name would give the person away, so that
// the mark takes the place of the whole line. What says more of a customer or an
// address, such as "the customer pays half", stays.
func (w *worker) payer(place string, text *string) {
	out, marks := w.names.clean(*text, running, w.trade)
	whole := slices.Contains(marks, "[contact]") || slices.Contains(marks, "[painter]") || strings.ContainsFunc(out, unicode.IsUpper)
	if len(marks) == 0 || !whole {
		w.clean(place, text, running)
		return
	}
	slices.Sort(marks)
	marks = slices.Compact(marks)
	for _, m := range marks {
		w.count(m, place)
	}
	*text = strings.Join(marks, ", ")
}

// signer is who signed: a person, whose name need not stand in the job, so that
// all goes but the words for whoever does that in a shop.
func (w *worker) signer(place string, text *string) {
	_, marks := w.names.clean(*text, given, w.trade)
	if *text == "" || len(marks) == 0 && office(*text) {
		return
	}
	w.count(someone, place)
	*text = someone
}

// someone takes the place of a person who is none of the job's.
const someone = "[person]"

// office reports whether a signature names what somebody does and not who.
func office(text string) bool {
	return slices.Contains([]string{"the shop", "shop", "owner", "the owner", "technician", "the technician"},
		strings.Join(strings.Fields(strings.ToLower(text)), " "))
}

func (w *worker) count(mark, place string) {
	i := slices.IndexFunc(w.replaced, func(r Replaced) bool { return r.Mark == mark })
	if i < 0 {
		i = len(w.replaced)
		w.replaced = append(w.replaced, Replaced{Mark: mark})
	}
	r := &w.replaced[i]
	r.Times++
	if !slices.Contains(r.Places, place) {
		r.Places = append(r.Places, place)
	}
}

func (w *worker) job(j *casefile.Job) {
	j.Place = casefile.Place{}
	for _, f := range private(j) {
		if *f.text != "" {
			w.taken = append(w.taken, f.key)
			*f.text = ""
		}
	}
	for _, f := range []named{{"job.number", &j.Number}, {"job.board", &j.Board}, {"job.board-lot", &j.BoardLot},
		{"job.primer-lot", &j.PrimerLot}, {"job.paint-lot", &j.PaintLot}} {
		w.label(f.key, f.text)
	}
	w.terms("job", &j.Finished, &j.Seen)
	w.prose("job.drying", &j.Drying)
	w.prose("job.note", &j.Note)
}

// named is a text with its place in a case.
type named struct {
	key  string
	text *string
}

// private are the lines of a job that are nobody else's business.
func private(j *casefile.Job) []named {
	return []named{{"customer", &j.Customer}, {"address", &j.Address}, {"contact", &j.Contact}, {"painter", &j.Painter}}
}

func (w *worker) entries(list string, entries []casefile.Entry) {
	for i := range entries {
		e := &entries[i]
		w.terms(list, &e.ID, &e.Answer, &e.Value, &e.Sure, &e.Source)
		w.prose(list+"."+e.ID+".note", &e.Note)
		if _, marks := w.names.clean(e.Asked, given, w.trade); len(marks) > 0 {
			e.Asked = ""
		}
	}
}

func (w *worker) log(c *casefile.Case) {
	l := &c.Log
	w.terms("log", &l.Zone, &l.Panel.Along, &l.Panel.Across, &l.Panel.Stands)
	w.file("log.shop", "the shop's file", &l.Shop)
	g := &l.Logger
	w.file("log.logger", "the logger's file", &g.File)
	w.terms("log.logger", &g.Zone, &g.ClockAhead, &g.Temperature, &g.Humidity, &g.Dates)
	for i := range c.Coats {
		x := &c.Coats[i]
		w.terms("log.coats", &x.Face, &x.Material, &x.Start, &x.WetFilm, &x.Thinning, &x.ThinningOf, &x.Tool, &x.Air, &x.Humidity, &x.Fan, &x.ToNext)
		w.prose("log.coats", &x.Note)
	}
	for i := range l.Steps {
		x := &l.Steps[i]
		w.terms("log.steps", &x.At, &x.After, &x.Do, &x.Face, &x.Material, &x.Speed, &x.TakesOff)
		w.prose("log.steps", &x.Note)
	}
	for i := range l.Air {
		x := &l.Air[i]
		w.terms("log.air", &x.At, &x.Temperature, &x.Humidity)
		w.prose("log.air", &x.Note)
	}
}

// file is a file that the case names; it is not looked into.
func (w *worker) file(place, what string, name *string) {
	if *name != "" {
		w.path(place, name)
		before := *name
		w.label(place, name)
		w.look = append(w.look, what+" "+*name+renamed(before, *name))
	}
}

// renamed asks for a file to get the name that the copy knows it by.
func renamed(before, after string) string {
	if before == after {
		return ""
	}
	return " (its name held private words: give the file this one)"
}

func (w *worker) photos(list []casefile.Photo) {
	for i := range list {
		w.prose("photos.caption", &list[i].Caption)
		w.file("photos.file", "the photograph", &list[i].File)
	}
}

func (w *worker) verdict(v *casefile.Verdict) {
	if v == nil {
		return
	}
	w.terms("verdict", &v.Settled, &v.Rules)
	w.signer("verdict.by", &v.By)
	for i := range v.Causes {
		x := &v.Causes[i]
		w.terms("verdict.causes", &x.Cause, &x.State, &x.By)
	}
	for i := range v.Ranking {
		w.terms("verdict.ranking", &v.Ranking[i].Cause)
	}
	for i := range v.Costs {
		w.prose("verdict.costs", &v.Costs[i].What)
		w.terms("verdict.costs", &v.Costs[i].Amount)
	}
	w.payer("verdict.pays", &v.Pays)
	w.prose("verdict.changed", &v.Changed)
	w.prose("verdict.note", &v.Note)
}
