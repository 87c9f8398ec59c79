// Package implied works out what the job log of a case implies: it reads the
// shop's file and the log, replays the job in draws of what is uncertain, and
// turns the result into what the rules let enter the network, with the figures a
// report shows beside it.
//
// A log that cannot be computed with leaves its problems here and nothing else:
// the diagnosis goes on without it. The package decides nothing about causes,
// which the rules do (rulebase.Calculation) and package diagnosis. It sits on
// joblog, shop, replay, rulebase and diagnosis.
package implied

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"slices"

	"filmfault/internal/casefile"
	"filmfault/internal/diagnosis"
	"filmfault/internal/joblog"
	"filmfault/internal/quantity"
	"filmfault/internal/replay"
	"filmfault/internal/rulebase"
	"filmfault/internal/shop"
	"filmfault/internal/source"
	"filmfault/internal/uncertain"
)

// Options says how much to compute.
type Options struct {
	// Draws of the job as logged, and of each replay with something undone, which
	// uses the first of them.
	Draws, Replays int
	System         quantity.System
	// Progress, unless nil, is called before each replay.
	Progress func()
}

// Ordinary is what a diagnosis computes: powers of two, so that each input's
// range is filled evenly.
func Ordinary() Options { return Options{Draws: 256, Replays: 64} }

// Seed starts the draws: the same case gives the same figures.
const Seed = 1

// Log is what the log of a case implies.
type Log struct {
	// Computed is what enters the network.
	Computed []diagnosis.Computed
	// Figures are what was computed, for a page.
	Figures []Figure
	// Job and Outcome are the job replayed as logged; nil when it could not be.
	Job     *replay.Job
	Outcome *replay.Outcome
	// Departures from the shop's standard, Shop whose standard it is.
	Departures []replay.Departed
	Shop       shop.Shop
	// Notes say what was taken for granted.
	Notes []string
	// Problems are what is wrong in the log, in the logger's file or in the shop's;
	// Sources their texts, where at hand.
	Problems source.List
	Sources  map[string][]byte

	bend []float64
	base *rulebase.Base
	c    *casefile.Case
	opt  Options
}

// Figure is one computed figure in SI.
type Figure struct {
	Name  string
	Short string // without saying what of it is told
	Minor bool   // nothing was closed over; for the full list only
	Value uncertain.Range
	Unit  string
	Kind  quantity.Kind
	// Label is the band of a probability, a word only.
	Label   string
	Assumed []string
}

// Of computes what a case's log implies. It is nil for a case that holds no log
// to compute with. The error is that of the context.
func Of(ctx context.Context, b *rulebase.Base, c *casefile.Case, open joblog.Files, o Options) (*Log, error) {
	l := &Log{base: b, c: c, opt: o, Shop: shop.Ordinary(), Sources: map[string][]byte{}}
	if !joblog.Present(c) {
		if l.Problems = joblog.Figures(c); len(l.Problems) > 0 {
			return l, nil
		}
		return nil, nil
	}
	l.readShop(open)
	log, problems := joblog.Read(c, l.Shop, open)
	l.Problems = append(l.Problems, problems...)
	if log == nil || l.Problems.HasErrors() {
		return l, nil
	}
	l.Notes = log.Notes
	l.Job = replay.New(log, l.Shop.Standard)
	l.Departures = l.Job.Departures(o.System)
	if err := l.replay(ctx); err != nil {
		l.Job, l.Outcome, l.Computed, l.Figures = nil, nil, nil, nil
		if ctx.Err() != nil {
			return nil, context.Cause(ctx)
		}
		l.Problems.Error(c.Log.Span, "log", "what the log implies cannot be computed: "+err.Error(), "the coats, times and air as they were")
	}
	return l, nil
}

// Units is the system in which the log is told.
func (l *Log) Units() quantity.System { return l.opt.System }

// readShop reads the shop's file, if the case names one.
func (l *Log) readShop(open joblog.Files) {
	name := l.c.Log.Shop
	if name == "" {
		return
	}
	at := l.c.Log.SpanOf("shop")
	f, err := open(name)
	if err == nil {
		defer func() { _ = f.Close() }() // it was only read
		var problems source.List
		l.Shop, problems, err = shop.Read(f, name)
		l.Problems = append(l.Problems, problems...)
	}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		l.Problems.Error(at, "shop", fmt.Sprintf("there is no file %q beside the case", name), "the name of the shop's file, as seen from the folder of the case")
	case err != nil:
		l.Problems.Error(at, "shop", err.Error(), "a shop file that can be read")
	}
}

// limit is a calculation's limit as an input.
func limit(c rulebase.Calculation) uncertain.Input {
	return uncertain.Input{ID: "limit-" + c.ID, Low: c.Limit.Low, High: c.Limit.High, Assumed: true, Source: c.Basis}
}

// replay runs the job and enters what the rules take.
func (l *Log) replay(ctx context.Context) error {
	d := uncertain.NewDraws(l.opt.Draws, Seed)
	var err error
	if l.Outcome, err = l.run(ctx, l.opt.Draws, nil); err != nil {
		return err
	}
	for _, x := range []struct {
		computes string
		layer    replay.Layer
	}{{rulebase.ClosingPrimer, replay.Primer}, {rulebase.ClosingColour, replay.Colour}} {
		c, ok := l.base.CalculationOf(x.computes)
		if !ok {
			continue
		}
		if err := l.enterDrying(ctx, c, x.layer); err != nil {
			return err
		}
	}
	if c, ok := l.base.CalculationOf(rulebase.CoatsBow); ok && l.bothFacesKnown() {
		if err := l.enterBow(c, d); err != nil { // the drying stands without it
			l.note("The bow of the coats could not be computed: %v.", err)
		}
	}
	l.figures()
	l.tellCold()
	return nil
}

// run replays the job and tells of it.
func (l *Log) run(ctx context.Context, draws int, undo replay.Undo, only ...replay.Layer) (*replay.Outcome, error) {
	if l.opt.Progress != nil {
		l.opt.Progress()
	}
	return l.Job.Run(ctx, uncertain.NewDraws(draws, Seed), undo, only...)
}

// negligible is the chance of an event below which nobody asks whose fault it is.
const negligible = 0.002

// enterDrying enters the event that a film was closed over too wet.
func (l *Log) enterDrying(ctx context.Context, c rulebase.Calculation, layer replay.Layer) error {
	chance := l.Outcome.TooWet(layer, limit(c))
	if chance == nil {
		return nil
	}
	x := diagnosis.Computed{Calculation: l.heard(c), Chance: chance, Without: map[string][]float64{}}
	for _, b := range c.Blame {
		undo := l.undo(b.Departures)
		if len(undo) == 0 || mean(chance) < negligible {
			continue
		}
		o, err := l.run(ctx, min(l.opt.Replays, l.opt.Draws), undo, layer)
		if err != nil {
			return err
		}
		x.Without[b.Cause] = o.TooWet(layer, limit(c))
		atLeast(x.Without[b.Cause], l.notOf(b, layer, limit(c)))
	}
	x.Shown = chanceInWords(mean(chance))
	l.Computed = append(l.Computed, x)
	return nil
}

// notOf is the part of the event that a cause cannot be at fault for: for one of
// standing what was never dry, for any other what had been dry.
func (l *Log) notOf(b rulebase.Blame, layer replay.Layer, limit uncertain.Input) []float64 {
	out := l.Outcome.NeverDry(layer, limit)
	if b.OfStanding() {
		return out
	}
	for i, p := range l.Outcome.TooWet(layer, limit) {
		out[i] = max(0, p-out[i])
	}
	return out
}

// atLeast raises figures to others, the first of them.
func atLeast(x, least []float64) {
	for i := range x {
		x[i] = max(x[i], least[i])
	}
}

// heard is a calculation without the findings that tell what this log does not:
// a film that nobody logged is still to be had from an answer.
func (l *Log) heard(c rulebase.Calculation) rulebase.Calculation {
	assumed := slices.ContainsFunc(l.Job.Log.Steps, func(s joblog.Step) bool { return l.Job.Log.Primes(s) && s.WetFilm.Assumed })
	if !assumed {
		return c
	}
	c.InsteadOf = slices.DeleteFunc(slices.Clone(c.InsteadOf), func(r rulebase.Ref) bool { return r.ID == wettestPass })
	return c
}

// wettestPass is the finding that tells the film of the wettest pass.
const wettestPass = "log-wet-film-per-pass"

// undo is those of the departures that the job has.
func (l *Log) undo(words []string) replay.Undo {
	out := replay.Undo{}
	for _, w := range words {
		for _, d := range l.Departures {
			if string(d.Departure) == w {
				out[d.Departure] = true
			}
		}
	}
	return out
}

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// The bands of a probability that a film was too wet: labels, nothing more.
const clearlyBelow, clearlyAbove = 0.1, 0.9

// band labels a probability.
func band(p float64) string {
	switch {
	case p < clearlyBelow:
		return "clearly dry"
	case p > clearlyAbove:
		return "clearly wet"
	}
	return "borderline"
}

// chanceInWords never says 0 or 100.
func chanceInWords(p float64) string {
	switch {
	case p < 0.01:
		return band(p) + ", a chance of under 1 % that it was too wet"
	case p > 0.99:
		return band(p) + ", a chance of over 99 % that it was too wet"
	}
	return fmt.Sprintf("%s, a chance of %.0f %% that it was too wet", band(p), 100*p)
}
