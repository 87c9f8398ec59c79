package interview_test

import (
	"slices"
	"strings"
	"testing"

	"filmfault/internal/casefile"
	"filmfault/internal/prompt"
	. "filmfault/internal/prompt/prompttest"
)

// Where nothing can be answered here, and a measurement that is barred here
// would tell, the reason to stop says so.
func TestTheReasonNamesAMeasurement(t *testing.T) {
	for measured, want := range map[bool]string{
		false: "Nothing more that can be answered here is likely to change which cause comes first; a measurement can.",
		true:  "No open question is likely to change which cause comes first.",
	} {
		c := begun("no")
		for _, f := range small(t).Base.Findings {
			if f.ID != "pull-test" || measured {
				c.Findings = append(c.Findings, casefile.Entry{ID: f.ID, NotChecked: true})
			}
		}
		_, out := talk(t, c, "phone", No("add something"))
		if !strings.HasPrefix(out.Reason, want) {
			t.Errorf("measured %v: %q", measured, out.Reason)
		}
	}
}

// What held with the same coats is asked first only where it speaks about the
// failures seen.
func TestWhatHeldIsAskedWhereItSpeaksOfTheFailure(t *testing.T) {
	c := begun("yes")
	c.Facts = append(c.Facts, casefile.Entry{ID: "span", NotChecked: true})
	c.Failures = []casefile.Entry{{ID: "blistering", NotChecked: true}, {ID: "peeling", NotChecked: true}, {ID: "bow", Answer: "seen"}}
	p, _ := talk(t, c, "sign", No("add something"))
	if slices.Contains(asked(p), "sister-same-coats") {
		t.Errorf("asked %v", asked(p))
	}
	c.Failures[0] = casefile.Entry{ID: "blistering", Answer: "seen"}
	talk(t, c, "sign", Command("sister-same-coats", prompt.Stop))
}
