package interview

import (
	"context"
	"fmt"

	"filmfault/internal/casefile"
)

func (v *visit) stepLines() lines[casefile.Step] {
	return lines[casefile.Step]{
		v: v, id: "step", name: "Step", in: &v.file.Log.Steps, opening: true, shown: true,
		why:     "What was laid over a coat, and when, shows whether it had dried enough by then.",
		columns: v.stepColumns,
		remark: func(at int, s *casefile.Step) string {
			if timeOf(s) != "" {
				return ""
			}
			return fmt.Sprintf("Step %d says not when it was. It is kept, but nothing is worked out from the log until it does.", at+1)
		},
	}
}

// askSteps asks what else was done to the piece, step by step.
func (v *visit) askSteps(ctx context.Context, _ bool) (ending, error) {
	l := v.stepLines()
	if err := l.fillGaps(ctx); err != nil {
		return through, err
	}
	return l.askOn(ctx)
}
