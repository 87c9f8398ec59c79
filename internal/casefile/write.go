package casefile

import (
	"filmfault/internal/yamldoc"
)

// Bytes is the case as a file. Keys and comments of the file it was read from
// that this program does not know are kept.
func (c *Case) Bytes() ([]byte, error) {
	m := yamldoc.NewMap(caseKeys()...)
	m.Set("schema", Schema)
	setText(m, "case", c.ID)
	setText(m, "title", c.Title)
	if c.Invented {
		m.Set("invented", true)
	}
	setText(m, "started", c.Started)
	if c.Rules.Digest != "" {
		r := yamldoc.NewMap("digest", "layers")
		r.Set("digest", c.Rules.Digest)
		r.Set("layers", c.Rules.Layers)
		m.Set("rules", r)
	}
	setLine(m, "job", c.Job.fields())
	setEntries(m, "facts", c.Facts)
	setEntries(m, "failures", c.Failures)
	setEntries(m, "findings", c.Findings)
	c.setLog(m)
	setLines(m, "photos", c.Photos, func(x *Photo) []field { return x.fields() })
	c.setVerdict(m)
	setText(m, "notes", c.Notes)
	return yamldoc.Render(m, c.document)
}

func setText(m *yamldoc.Map, key, text string) {
	if text != "" {
		m.Set(key, text)
	}
}

func setEntries(m *yamldoc.Map, key string, list []Entry) {
	if len(list) == 0 {
		return
	}
	out := yamldoc.NewMap()
	for _, e := range list {
		out.Set(e.ID, e.written())
	}
	m.Set(key, out)
}

// written is an entry in its shortest form.
func (e Entry) written() any {
	answer := e.Answer
	if e.NotChecked {
		answer = notChecked
	}
	if e.Value == "" && e.Sure == "" && e.Source == "" && e.Note == "" && e.Asked == "" {
		return answer
	}
	m := yamldoc.NewMap("answer", "value", "sure", "source", "note", "asked")
	setText(m, "answer", answer)
	setText(m, "value", e.Value)
	setText(m, "sure", e.Sure)
	setText(m, "source", e.Source)
	setText(m, "note", e.Note)
	setText(m, "asked", e.Asked)
	return m
}

func (c *Case) setVerdict(m *yamldoc.Map) {
	v := c.Verdict
	if v == nil {
		return
	}
	out := yamldoc.NewMap(append([]string{"settled", "by", "causes", "unlisted", "no-fault"}, append(settlementKeys(), "note")...)...)
	setText(out, "settled", v.Settled)
	setText(out, "by", v.By)
	var causes []*yamldoc.Map
	for _, x := range v.Causes {
		line := yamldoc.NewMap("cause", "state", "by")
		line.Set("cause", x.Cause)
		line.Set("state", x.State)
		setText(line, "by", x.By)
		causes = append(causes, line)
	}
	if len(causes) > 0 {
		out.Set("causes", causes)
	}
	if v.Unlisted {
		out.Set("unlisted", true)
	}
	if v.NoFault {
		out.Set("no-fault", true)
	}
	v.write(out)
	setText(out, "note", v.Note)
	m.Set("verdict", out)
}
