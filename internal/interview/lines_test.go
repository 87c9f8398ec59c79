package interview_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/casefile"
	"filmfault/internal/interview"
	"filmfault/internal/prompt"
	. "filmfault/internal/prompt/prompttest"
)

// coated is a case in which nothing but the log is left to ask, with the coats
// given in it.
func coated(coats ...casefile.Coat) *casefile.Case {
	c := atTheCoats()
	c.Coats = coats
	return c
}

// primed is a coat with nothing missing but what its thinning is a share of.
func primed() casefile.Coat {
	return casefile.Coat{
		Face: "front", Material: "primer", Start: "2026-04-03 8:00", WetFilm: "10 mil", Thinning: "2 %", Tool: "spray",
		Air: "70 F", Humidity: "55 %", Fan: "300 fpm", ToNext: "overnight",
	}
}

// unlogged is a coat with nothing missing but its air and its fan.
func unlogged() casefile.Coat {
	c := primed()
	c.Air, c.Humidity, c.Fan = "", "", ""
	return c
}

// rest are the parts of the log after the coats, each left out in one keystroke.
func rest() map[string]Step {
	return map[string]Step{
		"steps": Command("step-do", prompt.NotChecked), "logger": Line("logger-file", ""), "air": Line("air-at", ""),
		"zone": Line("log-zone", ""), "panel": Line("panel-along", ""), "shop": Line("log-shop", ""),
	}
}

func restSkipped() []Step { return skipping("steps", "logger", "air", "zone", "panel", "shop") }

func skipping(parts ...string) []Step {
	var out []Step
	for _, p := range parts {
		out = append(out, rest()[p])
	}
	return out
}

// logged talks at the desk about the log of a case whose coats are as they
// should be.
func logged(t *testing.T, c *casefile.Case, script ...[]Step) *Scripted {
	t.Helper()
	p, _ := talk(t, c, "desk", slices.Concat([]Step{No("Enter another?")}, slices.Concat(script...), []Step{No("add something")})...)
	return p
}

func back(id string) Step { return Fails(Line(id, ""), prompt.Instead{Command: prompt.Back}) }

// one keystroke for each part, and the case is as it was.
func TestTheRestOfTheLogIsLeftOut(t *testing.T) {
	c := coated(unlogged())
	c.Coats[0].Air, c.Coats[0].Humidity, c.Coats[0].Fan = "70 F", "", "on"
	before, err := c.Bytes()
	require.NoError(t, err)
	talk(t, c, "desk", slices.Concat([]Step{No("lacks: humidity. Fill that in?"), No("Enter another?")}, restSkipped(), []Step{No("add something")})...)
	c.Rules = casefile.RulesUsed{}
	after, err := c.Bytes()
	require.NoError(t, err)
	require.Equal(t, string(before), string(after))
}

// Without a coat nothing is worked out from a log, so nothing more of it is asked.
func TestNoCoatsNoSteps(t *testing.T) {
	_, out := talk(t, atTheCoats(), "desk", No("Enter the coats"), No("add something"))
	require.False(t, out.LogLeft)
}

func TestStepsAreWrittenInTheWordsOfTheFile(t *testing.T) {
	c := coated(unlogged(), primed())
	p := logged(t, c, []Step{
		Choose("step-do", "fan-on"), Line("step-when", "4/3 8:30am"), Line("step-speed", "400"), Yes("Step 1: fan on; 4/3 8:30am; fan speed 400 fpm. Right?"),
		Choose("step-do", "sand"), Line("step-face", "back"), Line("step-when", "3 h later"), Line("step-takes-off", "1 mil"),
		Yes("Step 2: sanded; face back; 3 h later; took off 1 mil. Right?"),
		Choose("step-do", "mask-on"), Line("step-face", ""), Line("step-when", "Overnight"), Line("step-mask", "paint mask"),
		Yes("Step 3: mask on; overnight; mask paint mask. Right?"),
		Choose("step-do", "failed"), Line("step-when", "2 days after that"), Yes("Step 4: failure first seen; 2 days later. Right?"),
		Choose("step-do", "no"),
	}, skipping("logger", "air", "zone", "panel", "shop"))
	require.Equal(t, []casefile.Step{
		{At: "4/3 8:30am", Do: "fan-on", Speed: "400"},
		{After: "3 h", Do: "sand", Face: "back", TakesOff: "1 mil"},
		{After: "overnight", Do: "mask-on", Material: "paint mask"},
		{After: "2 days", Do: "failed"},
	}, c.Log.Steps)
	require.Equal(t, "The line before: sanded; face back; 3 h later; took off 1 mil.", p.Asked()[2].How)
}

// What was done decides what is asked of it: for most only when it was.
func TestColumnsOfAStep(t *testing.T) {
	for do, more := range map[string][]string{
		"fan-off": nil, "wrap": nil, "hang": nil, "wet": nil, "failed": nil, "fan-on": {"speed"},
		"sand": {"takes-off", "face"}, "mask-on": {"mask", "face"},
		"mask-off": {"face"}, "blast": {"face"}, "rout": {"face"}, "graphics": {"face"}, "sun": {"face"},
	} {
		c := coated(unlogged(), primed())
		script := []Step{Choose("step-do", do)}
		if slices.Contains(more, "face") {
			script = append(script, Line("step-face", ""))
		}
		script = append(script, Line("step-when", "4/5 9am"))
		for _, col := range more {
			if col != "face" {
				script = append(script, Line("step-"+col, ""))
			}
		}
		logged(t, c, append(script, Yes("Right?")), restSkipped())
		require.Equal(t, []casefile.Step{{At: "4/5 9am", Do: do}}, c.Log.Steps)
	}
}

// Broken off within a step, what was typed of it is in the case, and the next
// visit goes on with what it lacks.
func TestAStepBrokenOffIsGoneOnWith(t *testing.T) {
	d := &disk{t: t, c: coated(unlogged(), primed())}
	run := func(c *casefile.Case, script ...Step) error {
		_, err := interview.New(small(t), c, New(t, script...), d.save, ranked).Run(context.Background(), interview.Options{Where: "desk"})
		return err
	}
	require.ErrorIs(t, run(d.c, No("Enter another?"), Choose("step-do", "sand"), Line("step-face", "front"),
		Fails(Line("step-when", ""), prompt.ErrInterrupted)), prompt.ErrInterrupted)
	kept, err := d.read()
	require.NoError(t, err)
	require.Len(t, kept.Log.Steps, 1)
	require.Equal(t, "sand", kept.Log.Steps[0].Do)
	require.Equal(t, "front", kept.Log.Steps[0].Face)

	d.c = kept
	require.NoError(t, run(kept, slices.Concat([]Step{
		No("Enter another?"), Yes("Step 1 of the log (sanded; face front) lacks: time, what it took off. Fill that in?"),
		Line("step-when", "4/4 9am"), Line("step-takes-off", "1 mil"), Yes("Right?"),
	}, restSkipped(), []Step{No("add something")})...))
	kept, err = d.read()
	require.NoError(t, err)
	require.Len(t, kept.Log.Steps, 1)
	require.Equal(t, []string{"4/4 9am", "1 mil"}, []string{kept.Log.Steps[0].At, kept.Log.Steps[0].TakesOff})
}

func TestAStepIsMendedAndTakenOut(t *testing.T) {
	c := coated(unlogged(), primed())
	p := logged(t, c, []Step{
		Choose("step-do", "blast"), Line("step-face", "B"), Choose("step-do", "rout"), Line("step-face", "front"), back("step-when"), Line("step-face", ""),
		Line("step-when", "4/4 9am"), No("Step 1: routed; face front; 4/4 9am. Right?"),
		Command("step-do", prompt.NotChecked), Line("step-face", "both"), Line("step-when", ""), Yes("Step 1: routed; face both; 4/4 9am. Right?"),
		Choose("step-do", "wet"), back("step-when"), Choose("step-do", "(out)"),
		Command("step-do", prompt.Back), Choose("step-do", "hang"), Line("step-when", "4/5 9am"), Yes("Step 1: hung; 4/5 9am. Right?"),
	}, restSkipped())
	require.Equal(t, []casefile.Step{{At: "4/5 9am", Do: "hang", Face: "both"}}, c.Log.Steps)
	require.Equal(t, "So far: Blasted. Skipping keeps it.", p.Asked()[1].How)
}

func TestStepsAreLeftAtAnyColumn(t *testing.T) {
	for command, stopped := range map[prompt.Command]bool{prompt.Stop: true, prompt.Later: false} {
		for _, script := range [][]Step{
			{Command("step-do", command)},
			{Choose("step-do", "hang"), Fails(Line("step-when", ""), prompt.Instead{Command: command})},
		} {
			c := coated(primed())
			script = append([]Step{No("Enter another?")}, script...)
			n := len(script) - 2
			if !stopped {
				script = append(script, No("add something"))
			}
			_, out := talk(t, c, "desk", script...)
			require.Equal(t, stopped, out.Stopped)
			require.Equal(t, !stopped, out.LogLeft)
			require.Len(t, c.Log.Steps, n)
		}
	}
}

// A step without a time is kept, and it is said what that means.
func TestAStepWithoutATime(t *testing.T) {
	c := coated(primed())
	p := logged(t, c, []Step{Choose("step-do", "hang"), Line("step-when", ""), Yes("Step 1: hung. Right?")}, skipping("steps", "logger", "zone", "panel", "shop"))
	require.Equal(t, []casefile.Step{{Do: "hang"}}, c.Log.Steps)
	require.Contains(t, strings.Join(p.Said(), "\n"), "Step 1 says not when it was.")
}

func TestWhyAStepIsAsked(t *testing.T) {
	p := logged(t, coated(primed()), []Step{Command("step-do", prompt.Why)}, skipping("steps", "logger", "zone", "panel", "shop"))
	require.Contains(t, strings.Join(p.Said(), "\n"), "whether it had dried enough by then")
}

// A fan put on is no line of its own where the coats say what the fan did.
func TestTheFanIsAskedOnce(t *testing.T) {
	offered := func(c *casefile.Case) []bool {
		p := New(t, No("Enter another?"), Command("step-do", prompt.Stop))
		_, err := interview.New(small(t), c, p, saved, ranked).Run(context.Background(), interview.Options{Where: "desk"})
		require.NoError(t, err)
		has := func(id string) bool {
			return slices.ContainsFunc(p.Asked()[0].Choices, func(c prompt.Choice) bool { return c.ID == id })
		}
		return []bool{has("fan-on"), has("fan-off")}
	}
	on := primed()
	on.Fan, on.Note = "", "fan on, speed not measured"
	bare := casefile.Coat{Face: "back", Material: "none"}
	require.Equal(t, []bool{false, true}, offered(coated(primed(), on, bare)))
	silent := primed()
	silent.Fan = ""
	require.Equal(t, []bool{true, true}, offered(coated(silent, primed())))
	stopped := coated(primed())
	stopped.Log.Steps = []casefile.Step{{Do: "fan-off", At: "4/3 noon"}}
	require.Equal(t, []bool{true, true}, offered(stopped))
}

// A log that was left for later and stopped half-way is still to come.
func TestALogStoppedHalfWayIsStillLeft(t *testing.T) {
	c := coated(primed())
	c.LogLater = true
	_, out := talk(t, c, "desk", No("Enter another?"), Command("step-do", prompt.Stop))
	require.True(t, out.Stopped)
	require.True(t, out.LogLeft)
	c = coated(primed())
	c.LogLater = true
	logged(t, c, skipping("steps", "logger", "zone", "panel", "shop"))
	require.False(t, c.LogLater)
}
