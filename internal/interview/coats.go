package interview

import (
	"context"
	"fmt"
	"slices"

	"filmfault/internal/casefile"
	"filmfault/internal/joblog"
)

func (v *visit) coatLines() lines[casefile.Coat] {
	return lines[casefile.Coat]{
		v: v, id: "coat", name: "Coat", in: &v.file.Coats, shown: true,
		why:     "The log shows later what the coat was given: its thickness, its air, and the hours before it was closed over.",
		columns: func(_ int, c *casefile.Coat) []coatColumn { return coatColumns(c) },
		remark:  v.startless,
	}
}

// startless says of a coat that nothing tells when it was put on.
func (v *visit) startless(at int, c *casefile.Coat) string {
	told := c.Start != "" || joblog.IsBare(c.Material) || at > 0 && v.file.Coats[at-1].ToNext != ""
	if told {
		return ""
	}
	return fmt.Sprintf("Coat %d says not when it was started. It is kept, but nothing is worked out from the log until it does.", at+1)
}

// askCoats offers to enter the coats of the log line by line.
func (v *visit) askCoats(ctx context.Context, _ bool) (ending, error) {
	l := v.coatLines()
	if err := l.fillGaps(ctx); err != nil {
		return through, err
	}
	for !v.leaving() {
		question := "Enter the coats of the log now, line by line?"
		if n := len(v.file.Coats); n > 0 {
			question = fmt.Sprintf("The log holds %s. Enter another?", coats(n))
		}
		more, err := v.prompter.Confirm(ctx, question)
		if err != nil || !more {
			return through, err
		}
		e := wentBack
		for e == wentBack && err == nil { // there is nothing before the first coat
			e, err = l.enter(ctx, len(v.file.Coats))
		}
		if err != nil || e == leftEmpty {
			return through, err
		}
	}
	return through, nil
}

func coats(n int) string {
	if n == 1 {
		return "one coat"
	}
	return fmt.Sprintf("%d coats", n)
}

// eachCoat reports whether there are coats, and all of them say something.
func (v *visit) eachCoat(says func(casefile.Coat) bool) bool {
	put := slices.DeleteFunc(slices.Clone(v.file.Coats), func(c casefile.Coat) bool { return joblog.IsBare(c.Material) })
	return len(put) > 0 && !slices.ContainsFunc(put, func(c casefile.Coat) bool { return !says(c) })
}
