package interview

import (
	"context"
	"fmt"

	"filmfault/internal/diagnosis"
	"filmfault/internal/rulebase"
)

// askLog goes through what the log holds besides findings, once the log is
// open: the facts about the shop, then the coats line by line.
func (v *visit) askLog(ctx context.Context) (bool, error) {
	if !v.logOpen || v.logLater {
		return false, nil
	}
	if did, err := v.askFact(ctx, rulebase.StageLog, v.matters()); did || err != nil {
		return did, err
	}
	if v.coatsDone || v.where == rulebase.ByPhone {
		return false, nil
	}
	if err := v.askCoats(ctx); err != nil {
		return true, err
	}
	v.coatsDone = true
	if v.file.LogLater {
		v.file.LogLater = false
		v.keep()
	}
	return true, nil
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

// askCoats offers to enter the coats of the log line by line.
func (v *visit) askCoats(ctx context.Context) error {
	if err := v.fillGaps(ctx); err != nil {
		return err
	}
	for {
		question := "Enter the coats of the log now, line by line?"
		if n := len(v.file.Coats); n > 0 {
			question = fmt.Sprintf("The log holds %s. Enter another?", coats(n))
		}
		more, err := v.prompter.Confirm(ctx, question)
		if err != nil || !more {
			return err
		}
		if entered, err := v.askCoat(ctx, len(v.file.Coats)); err != nil || !entered {
			return err
		}
	}
}

func coats(n int) string {
	if n == 1 {
		return "one coat"
	}
	return fmt.Sprintf("%d coats", n)
}
