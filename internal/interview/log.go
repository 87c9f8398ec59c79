package interview

import (
	"context"
	"slices"

	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

// askLog asks the facts that the log holds about the shop, once it is open.
func (v *visit) askLog(ctx context.Context) (bool, error) {
	if !v.logOpen || v.logLater {
		return false, nil
	}
	return v.askFact(ctx, rulebase.StageLog, v.matters())
}

// closeLog goes through the lines of the log, when nothing else of it is left to
// ask, and says whether it did anything.
func (v *visit) closeLog(ctx context.Context) (did bool, err error) {
	if !v.logOpen || v.logLater || v.linesDone || v.where == rulebase.ByPhone {
		return false, nil
	}
	if err := v.askLines(ctx); err != nil {
		return true, err
	}
	v.linesDone = true
	if v.file.LogLater && !v.leaving() {
		v.file.LogLater = false
		v.keep()
	}
	return true, nil
}

// askLines asks for the coats and then, where there are any, for the rest of the
// log, part by part. "Back" at the first question of a part leads to the part
// before, past those that have nothing to ask.
func (v *visit) askLines(ctx context.Context) error {
	parts := []func(ctx context.Context, again bool) (ending, error){
		v.askCoats, v.askSteps, v.askLogger, v.askReadings, v.askZone, v.askPanel, v.askShop,
	}
	for i, again := 0, false; i < len(parts); {
		e, err := parts[i](ctx, again)
		if err != nil || v.leaving() || len(v.file.Coats) == 0 { // nothing is worked out without coats
			return err
		}
		if e == wentBack || e == passedBy && again {
			i, again = max(i-1, 0), true
		} else {
			i, again = i+1, false
		}
	}
	return nil
}

// leaveLog leaves the log for a later visit.
func (v *visit) leaveLog() {
	v.logLater = true
	v.file.LogLater = true
	v.keep()
}

// logAtEnd settles the log when nothing else is left to ask, and says whether
// the conversation goes on. At the desk the log is opened. At the sign the
// person is asked once whether it waits, if it could still change anything.
func (v *visit) logAtEnd(ctx context.Context, ev *diagnosis.Evaluation) (again bool, err error) {
	if v.logOpen || v.logLater || v.where == rulebase.ByPhone {
		return false, nil
	}
	if v.where == rulebase.AtDesk {
		v.logOpen = true
		return true, nil
	}
	if v.logBegun() && !v.file.LogLater {
		v.logHere, v.logOpen = true, true
		return true, nil
	}
	if v.file.LogLater || !v.logWouldTell(ev) {
		v.logLater = v.file.LogLater
		return false, nil
	}
	later, err := v.prompter.Confirm(ctx, "What is left to ask is in the shop's log: coats, times, air. Leave it for later, at the desk?")
	if err != nil {
		return true, err
	}
	v.asked++
	if later {
		v.leaveLog()
	} else {
		v.logHere, v.logOpen = true, true
	}
	return true, nil
}

// logBegun reports whether an earlier visit was broken off in the log, which was
// at hand then.
func (v *visit) logBegun() bool {
	inLog := func(f rulebase.Finding) bool {
		e := v.entry(ref{aFinding, f.ID})
		return f.Stage == rulebase.StageLog && !isSister(f.ID) && e != nil && !e.NotChecked
	}
	return len(v.file.Coats) > 0 || slices.ContainsFunc(v.base.Findings, inLog)
}

// logWouldTell reports whether the log's questions might change which cause
// comes first.
func (v *visit) logWouldTell(ev *diagnosis.Evaluation) bool {
	prices, err := ev.Price(func(f rulebase.Finding) bool {
		return f.Stage == rulebase.StageLog && f.Minutes <= longest && v.unasked(f)
	})
	if err != nil {
		return true
	}
	stop, err := prices.Stop()
	return err != nil || !stop.Stop
}
