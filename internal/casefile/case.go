// Package casefile is one failed finish on disk: what is known of the job, the
// log, what was found, and the verdict, each as it was typed.
//
// It reads and writes case files and knows nothing of rules: whether an id or
// an answer exists is for package diagnosis to say. Keys that this version does
// not know are kept, and comments too. It sits above yamldoc.
package casefile

import (
	"fmt"
	"io"

	"filmfault/internal/source"
	"filmfault/internal/yamldoc"
)

// Schema is the version of case files that this program writes.
const Schema = 1

// Case is one failed finish.
type Case struct {
	ID, Title string
	Invented  bool   // a demonstration, no real job
	Started   string // when the interview began, RFC 3339
	Rules     RulesUsed
	Facts     []Entry
	Failures  []Entry // answers "seen", "absent"; not looked for has NotChecked
	Findings  []Entry
	Coats     []Coat
	LogLater  bool // the log was left for later, at the desk
	Log       Log  // what else the log holds
	Job       Job
	Photos    []Photo
	Verdict   *Verdict
	Notes     string

	document yamldoc.Value // what was read, for keys and comments to be kept
}

// RulesUsed names the rules a case was last worked with.
type RulesUsed struct {
	Digest string
	Layers []string
}

// Entry is one answer as it was given. Exactly one of Answer, Value and
// NotChecked says what; Asked is the wording that was shown.
type Entry struct {
	ID         string
	Answer     string // id of an answer
	Value      string // a number or quantity as typed
	NotChecked bool
	Sure       string // "", "probably", or a confidence such as "0.7"
	Source     string // "", measured, logged, remembered, assumed
	Note       string
	Asked      string
	Span       source.Span // of the id
	AnswerSpan source.Span // of what was answered
}

// Verdict is how a case was settled.
type Verdict struct {
	Settled  string // date
	By       string // who, as they want to be named
	Causes   []Finding
	Unlisted bool // something the rules do not list
	NoFault  bool
	Note     string
	Span     source.Span
	Settlement
}

// Finding is the verdict on one cause.
type Finding struct {
	Cause, State string      // confirmed, ruled-out, not-examined
	By           string      // the measurement that said so
	Span         source.Span // of the cause
	BySpan       source.Span
}

// The states of a cause in a verdict.
const (
	Confirmed   = "confirmed"
	RuledOut    = "ruled-out"
	NotExamined = "not-examined"
)

// NewerError says that a file was written by a newer version.
type NewerError struct {
	Span   source.Span
	Schema int
}

func (e *NewerError) Error() string {
	return fmt.Sprintf("%s: this case has schema %d and this filmfault knows schemas up to %d; use a newer filmfault (the file was left as it is)", e.Span, e.Schema, Schema)
}

// Find is the entry with an id, or nil.
func Find(list []Entry, id string) *Entry {
	for i := range list {
		if list[i].ID == id {
			return &list[i]
		}
	}
	return nil
}

// Put sets an entry in place, or adds it at the end.
func Put(list []Entry, e Entry) []Entry {
	if old := Find(list, e.ID); old != nil {
		*old = e
		return list
	}
	return append(list, e)
}

// Drop removes the entry with an id.
func Drop(list []Entry, id string) []Entry {
	var out []Entry
	for _, e := range list {
		if e.ID != id {
			out = append(out, e)
		}
	}
	return out
}

// Read reads a case. What is wrong inside the file is in the diagnostics; the
// error is that of reading, or a *NewerError.
func Read(r io.Reader, name string) (*Case, []byte, source.List, error) {
	data, diags, err := yamldoc.ReadAll(r, name, yamldoc.DefaultLimits())
	if err != nil || diags.HasErrors() {
		return nil, nil, diags, err
	}
	c, diags, err := Parse(name, data)
	return c, data, diags, err
}

// Parse is Read for bytes at hand.
func Parse(name string, data []byte) (*Case, source.List, error) {
	doc, diags := yamldoc.Parse(name, data, yamldoc.DefaultLimits())
	if diags.HasErrors() {
		return nil, diags, nil
	}
	p := parser{d: &diags}
	c, err := p.document(doc)
	if err != nil || diags.HasErrors() {
		return nil, diags, err
	}
	return c, diags, nil
}
