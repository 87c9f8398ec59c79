// Package interview holds the conversation with the person at the sign, at the
// desk or on the phone: what is unsafe, what fails and what does not, what is
// known of the job, and then whatever tells most for the minutes it takes.
//
// It refuses to record anything that was not said: an answer not given is not
// "no", and an interrupt or the end of the input leaves the case as it was. It
// keeps no state of its own between two conversations, since everything it needs
// to go on is in the case, which is saved after every answer. It writes no
// report.
//
// It sits above packages diagnosis, casefile, joblog and prompt. The commands give it a
// Prompter, a way to save and a way to show the ranking.
package interview

import (
	"context"
	"fmt"

	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/prompt"
	"filmfault/internal/rulebase"
	"filmfault/internal/source"
)

// Options says where the person stands.
type Options struct {
	Where string // rulebase.AtSign, AtDesk or ByPhone; "" asks at the start
}

// Outcome says how a conversation ended.
type Outcome struct {
	Where   string // where the person stood
	Reason  string // why the questions stopped, in words
	Stopped bool   // the person stopped them
	LogLeft bool   // the log was left for later: the interview is to be resumed at the desk
	Left    Left
	Unsaved error // why the last save failed; the answers are then in the case only
}

// Left is what a conversation left open.
type Left struct {
	NotChecked []string // findings answered "not checked", in the order asked
	Unsafe     []string // cautions that were not seen to, so that nothing was touched or cut
	NoCutting  bool     // cutting would have told more, and there was no leave to cut
}

// Conversation is an interview about one case.
type Conversation struct {
	rules    *diagnosis.Rules
	file     *casefile.Case
	prompter prompt.Prompter
	save     func() error
	rank     func(*diagnosis.Evaluation) string
}

// New makes a conversation that goes on from what the case holds. It calls save
// after every answer, and rank to show the ranking so far; rank may be nil.
func New(r *diagnosis.Rules, c *casefile.Case, p prompt.Prompter, save func() error, rank func(*diagnosis.Evaluation) string) *Conversation {
	return &Conversation{rules: r, file: c, prompter: p, save: save, rank: rank}
}

// Run asks until enough is known, nothing is left that would help, or the
// person stops. The error is the Prompter's own, such as prompt.ErrInterrupted;
// the answers given before it are in the case and saved.
func (c *Conversation) Run(ctx context.Context, o Options) (Outcome, error) {
	v := &visit{
		Conversation: c, base: c.rules.Base, where: o.Where,
		told: map[string]bool{}, safe: map[string]bool{}, madeSafe: map[string]bool{},
	}
	err := v.converse(ctx)
	if err != nil || v.unsaved != nil {
		v.trySaving()
	}
	return v.outcome(), err
}

// visit is one run of a conversation. What it holds besides the case only spares
// the person repetition; none of it changes what is recorded.
type visit struct {
	*Conversation
	base  *rulebase.Base
	where string

	history []ref           // what was answered in this run, the latest last
	told    map[string]bool // cautions given in full
	safe    map[string]bool // raised caution -> whether the person said it was seen to
	// failure -> whether it was said what to do now
	madeSafe map[string]bool
	asked    int // findings asked in this run
	ev       *diagnosis.Evaluation

	titleAsked, photographsTold, picked, cuttingTold bool

	logOpen   bool // the log is being gone through
	logHere   bool // the person at the sign has the log at hand
	logLater  bool // left for later in this run
	linesDone bool // the lines of the log were gone through

	reason    string // why the questions stopped; "" while they go on
	stopped   bool
	noCutting bool // cutting would tell more, and there is no leave
	unsaved   error
}

// part is one part of the conversation. It does at most one thing and says
// whether it did any.
type part func(context.Context) (did bool, err error)

// converse runs the parts in their order. What comes next is worked out from
// the case after every answer, so that going back, adding and resuming need no
// rules of their own.
func (v *visit) converse(ctx context.Context) error {
	parts := []part{
		v.askPlace, v.askTitle, v.askSafety, v.tellPhotographs, v.askFailures, v.askStart, v.askLog, v.askNext,
	}
	for v.reason == "" {
		if err := firstOf(ctx, parts); err != nil {
			return err
		}
	}
	return nil
}

func firstOf(ctx context.Context, parts []part) error {
	for _, p := range parts {
		if did, err := p(ctx); did || err != nil {
			return err
		}
	}
	return nil
}

func (v *visit) stop(reason string) { v.reason = reason }

func (v *visit) outcome() Outcome {
	o := Outcome{
		Where: v.where, Reason: v.reason, Stopped: v.stopped, LogLeft: v.file.LogLater, Unsaved: v.unsaved,
	}
	for _, e := range v.file.Findings {
		if e.NotChecked {
			o.Left.NotChecked = append(o.Left.NotChecked, e.ID)
		}
	}
	for _, c := range v.base.Cautions {
		if seenTo, raised := v.safe[c.ID]; raised && !seenTo {
			o.Left.Unsafe = append(o.Left.Unsafe, c.ID)
		}
	}
	o.Left.NoCutting = v.noCutting
	return o
}

// evaluate works out what is known so far.
func (v *visit) evaluate() (*diagnosis.Evaluation, error) {
	if v.ev != nil {
		return v.ev, nil
	}
	sheet, err := v.sheet()
	if err != nil {
		return nil, err
	}
	v.ev, err = v.rules.Evaluate(sheet)
	return v.ev, err
}

func (v *visit) sheet() (diagnosis.Sheet, error) {
	sheet, diags := diagnosis.Resolve(v.base, v.file)
	for _, d := range diags {
		if d.Severity == source.Error {
			return sheet, fmt.Errorf("the case does not fit the rules: %v", d)
		}
	}
	return sheet, nil
}

// seen lists the failures seen.
func (v *visit) seen() []string {
	var out []string
	for _, g := range v.base.Failures() {
		if e := v.entry(ref{aFailure, g.ID}); e != nil && e.Answer == rulebase.StateSeen {
			out = append(out, g.ID)
		}
	}
	return out
}
