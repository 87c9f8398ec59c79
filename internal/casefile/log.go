package casefile

import (
	"filmfault/internal/source"
	"filmfault/internal/yamldoc"
)

// Coat is one coat of the job log, every figure as typed.
type Coat struct {
	Face, Material, Start, WetFilm, Thinning, ThinningOf, Tool string
	Air, Humidity, Fan, ToNext, Note                           string
	Place
}

func (c *Coat) fields() []field {
	return []field{
		{"face", &c.Face}, {"material", &c.Material}, {"start", &c.Start}, {"wet-film", &c.WetFilm}, {"thinning", &c.Thinning},
		{"thinning-of", &c.ThinningOf}, {"tool", &c.Tool}, {"air", &c.Air}, {"humidity", &c.Humidity}, {"fan", &c.Fan},
		{"to-next", &c.ToNext}, {"note", &c.Note},
	}
}

// Step is one line of the job log that is no coat: a fan put on or off, sanding,
// a mask, blasting, paint elsewhere, sun, hanging, a wetting. At is when, or
// After how long after the line before it.
type Step struct {
	At, After, Do, Face, Material, Speed, TakesOff, Note string
	Place
}

func (s *Step) fields() []field {
	return []field{
		{"at", &s.At}, {"after", &s.After}, {"do", &s.Do}, {"face", &s.Face}, {"material", &s.Material}, {"speed", &s.Speed},
		{"takes-off", &s.TakesOff}, {"note", &s.Note},
	}
}

// AirReading is the air as somebody read it by hand.
type AirReading struct {
	At, Temperature, Humidity, Note string
	Place
}

func (r *AirReading) fields() []field {
	return []field{{"at", &r.At}, {"temperature", &r.Temperature}, {"humidity", &r.Humidity}, {"note", &r.Note}}
}

// Logger names the file of a data logger and says what the file does not say of
// itself: the zone and the error of its clock, its units, the order of its
// dates.
type Logger struct {
	File, Zone, ClockAhead, Temperature, Humidity, Dates string
	Place
}

func (l *Logger) fields() []field {
	return []field{
		{"file", &l.File}, {"zone", &l.Zone}, {"clock-ahead", &l.ClockAhead}, {"temperature", &l.Temperature},
		{"humidity", &l.Humidity}, {"dates", &l.Dates},
	}
}

// Panel is the piece: its length along the moving air, its other side, how it
// stood while it dried.
type Panel struct {
	Along, Across, Stands string
	Place
}

func (l *Panel) fields() []field {
	return []field{{"along", &l.Along}, {"across", &l.Across}, {"stands", &l.Stands}}
}

// Log is the job log but for its coats. Zone is that of its clock times; Shop
// names a file with the shop's own materials and standard.
type Log struct {
	Zone, Shop string
	Panel      Panel
	Logger     Logger
	Steps      []Step
	Air        []AirReading
	Place
}

func (l *Log) fields() []field { return []field{{"zone", &l.Zone}, {"shop", &l.Shop}} }

// Place is where a line of the log and each of its figures stand.
type Place struct {
	Span  source.Span
	spans map[string]source.Span
}

// SpanOf is where a figure stands, by its key in the file; where its line does
// when the figure is not there.
func (p Place) SpanOf(key string) source.Span {
	if s, ok := p.spans[key]; ok && s.Start.Line > 0 {
		return s
	}
	return p.Span
}

// field is one key of a line and where its text is kept.
type field struct {
	key  string
	text *string
}

func keysOf(fields []field) []string {
	out := make([]string, len(fields))
	for i, f := range fields {
		out[i] = f.key
	}
	return out
}

// line reads the texts of a map.
func (p parser) line(v yamldoc.Value, what string, fields []field, place *Place, more ...string) yamldoc.Fields {
	keys := append(keysOf(fields), more...)
	f := v.FieldsKeepingUnknown(p.d, what, keys...)
	p.mistyped(f, keys)
	*place = Place{Span: f.Span(), spans: map[string]source.Span{}}
	for _, x := range fields {
		*x.text = f.Get(x.key).TextOr("")
		place.spans[x.key] = f.Get(x.key).Span()
	}
	return f
}

func (p parser) log(v yamldoc.Value, c *Case) {
	l := &c.Log
	f := p.line(v, "the log", l.fields(), &l.Place, "later", "panel", "logger", "coats", "steps", "air")
	if f.Has("later") {
		c.LogLater, _ = f.Get("later").Flag(p.d, "later")
	}
	p.line(f.Get("panel"), "the panel", l.Panel.fields(), &l.Panel.Place)
	p.line(f.Get("logger"), "the logger", l.Logger.fields(), &l.Logger.Place)
	c.Coats = lines(p, f.Get("coats"), "coat", func(x *Coat) ([]field, *Place) { return x.fields(), &x.Place })
	l.Steps = lines(p, f.Get("steps"), "step", func(x *Step) ([]field, *Place) { return x.fields(), &x.Place })
	l.Air = lines(p, f.Get("air"), "reading", func(x *AirReading) ([]field, *Place) { return x.fields(), &x.Place })
}

// lines reads a list of lines of one kind.
func lines[T any](p parser, v yamldoc.Value, what string, in func(*T) ([]field, *Place)) []T {
	var out []T
	for _, item := range v.Items(p.d, "the "+what+"s") {
		var x T
		fields, place := in(&x)
		p.line(item, "a "+what, fields, place)
		out = append(out, x)
	}
	return out
}

// setLog writes the log, or nothing when it is empty.
func (c *Case) setLog(m *yamldoc.Map) {
	l := &c.Log
	log := written(l.fields(), "later", "zone", "shop", "panel", "logger", "coats", "steps", "air")
	if c.LogLater {
		log.Set("later", true)
	}
	setLine(log, "panel", l.Panel.fields())
	setLine(log, "logger", l.Logger.fields())
	setLines(log, "coats", c.Coats, func(x *Coat) []field { return x.fields() })
	setLines(log, "steps", l.Steps, func(x *Step) []field { return x.fields() })
	setLines(log, "air", l.Air, func(x *AirReading) []field { return x.fields() })
	if len(log.Keys()) > 0 || l.Span.Start.Line > 0 { // what the file holds besides is kept
		m.Set("log", log)
	}
}

// written is a line as a map, its keys in the order of the fields unless stated.
func written(fields []field, order ...string) *yamldoc.Map {
	if len(order) == 0 {
		order = keysOf(fields)
	}
	out := yamldoc.NewMap(order...)
	for _, f := range fields {
		setText(out, f.key, *f.text)
	}
	return out
}

func setLine(m *yamldoc.Map, key string, fields []field) {
	if line := written(fields); len(line.Keys()) > 0 {
		m.Set(key, line)
	}
}

func setLines[T any](m *yamldoc.Map, key string, list []T, fields func(*T) []field) {
	var out []*yamldoc.Map
	for i := range list {
		out = append(out, written(fields(&list[i])))
	}
	if len(out) > 0 {
		m.Set(key, out)
	}
}
