package interview_test

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"filmfault/internal/casefile"
	"filmfault/internal/interview"
	"filmfault/internal/prompt"
	. "filmfault/internal/prompt/prompttest"
)

func TestALoggersFile(t *testing.T) {
	c := coated(unlogged(), primed())
	p := &lineWatch{Scripted: New(t, append([]Step{
		No("Enter another?"), Choose("step-do", "no"), Line("logger-file", `"shop air.csv"`), Choose("logger-unit", "C"), Line("logger-zone", "America/Chicago"),
	}, append(skipping("zone", "panel", "shop"), No("add something"))...)...), see: func(l prompt.LineAsk) {
		if l.ID == "logger-file" {
			require.Contains(t, l.How, "in the folder of the case")
			require.Error(t, l.Check("yes"))
			require.NotEmpty(t, l.Doubt("lunchroom"))
			require.Empty(t, l.Doubt("no"))
		}
	}}
	_, err := interview.New(small(t), c, p, saved, ranked).Run(context.Background(), interview.Options{Where: "desk"})
	require.NoError(t, err)
	require.Equal(t, casefile.Logger{File: "shop air.csv", Temperature: "C", Zone: "America/Chicago"}, c.Log.Logger)

	// It is not asked again, and neither is the air by hand.
	logged(t, c, skipping("steps", "zone", "panel", "shop"))

	// Only the name is needed.
	c = coated(primed())
	logged(t, c, skipping("steps"), []Step{Line("logger-file", "a.csv"), Command("logger-unit", prompt.NotChecked), Line("logger-zone", "")}, skipping("zone", "panel", "shop"))
	require.Equal(t, casefile.Logger{File: "a.csv"}, c.Log.Logger)
}

func TestReadingsByHand(t *testing.T) {
	c := coated(unlogged(), primed())
	logged(t, c, skipping("steps"), []Step{
		Line("logger-file", "no"),
		Line("air-at", "4/3 8am"), Line("air-temperature", "68"), Line("air-humidity", "55 %"),
		Line("air-at", "4/3 2 pm"), Line("air-temperature", "75 F"), back("air-humidity"), Line("air-temperature", "74 F"), Line("air-humidity", ""),
		back("air-at"), Line("air-at", ""), Line("air-temperature", ""), Line("air-humidity", "50"),
		Line("air-at", "none"),
	}, skipping("zone", "panel", "shop"))
	require.Equal(t, []casefile.AirReading{
		{At: "4/3 8am", Temperature: "68", Humidity: "55 %"}, {At: "4/3 2 pm", Temperature: "74 F", Humidity: "50"},
	}, c.Log.Air)
	require.Empty(t, c.Log.Logger.File)

	// The next visit goes on with them and does not ask for a logger again.
	c.Log.Air[1].Humidity = ""
	logged(t, c, skipping("steps"), []Step{
		Yes("Reading 2 of the log (4/3 2 pm; temperature 74 F) lacks: humidity. Fill that in?"), Line("air-humidity", "45 %"),
	}, skipping("air", "zone", "panel", "shop"))
	require.Equal(t, "45 %", c.Log.Air[1].Humidity)
}

// The air is not asked by hand where each coat has it.
func TestTheAirOfTheCoatsIsEnough(t *testing.T) {
	bare := casefile.Coat{Face: "back", Material: "none"}
	logged(t, coated(primed(), bare, primed()), skipping("steps", "logger", "zone", "panel", "shop"))
	dry := primed()
	dry.Humidity = ""
	logged(t, coated(dry, primed()), restSkipped())
}

func TestZonePanelAndShop(t *testing.T) {
	c := coated(primed())
	logged(t, c, skipping("steps", "logger"), []Step{
		Line("log-zone", "America/Chicago"), Line("panel-along", "4 ft"), Line("panel-across", "24 in"), Choose("panel-stands", "flat"), Line("log-shop", "our-shop.yaml"),
	})
	require.Equal(t, "America/Chicago", c.Log.Zone)
	require.Equal(t, casefile.Panel{Along: "4 ft", Across: "24 in", Stands: "flat"}, c.Log.Panel)
	require.Equal(t, "our-shop.yaml", c.Log.Shop)

	// What is there is not asked again; what is missing is.
	c.Log.Panel.Across = ""
	logged(t, c, skipping("steps", "logger"), []Step{Line("panel-across", "")})
}

// "Back" at the first question of a part leads to the part before, past those
// that have nothing to ask.
func TestBackThroughTheLog(t *testing.T) {
	c := coated(primed())
	logged(t, c, []Step{
		Choose("step-do", "hang"), Line("step-when", "4/9 9am"), Yes("Right?"), Choose("step-do", "no"),
		Line("logger-file", ""), back("log-zone"), back("logger-file"), Choose("step-do", "no"),
		Line("logger-file", "a.csv"), Command("logger-unit", prompt.Back), Line("logger-file", "b.csv"), Choose("logger-unit", "F"), Line("logger-zone", ""),
		back("log-zone"), Line("logger-file", ""), Command("logger-unit", prompt.Back), back("logger-file"), Command("step-do", prompt.Back),
		Command("step-do", prompt.Back), No("Enter another?"), Choose("step-do", "no"), Line("log-zone", ""), Line("panel-along", ""), back("log-shop"),
		Line("panel-along", "48 in"), Line("panel-across", ""), Command("panel-stands", prompt.NotChecked), Line("log-shop", ""),
	})
	require.Equal(t, casefile.Logger{File: "b.csv", Temperature: "F"}, c.Log.Logger)
	require.Equal(t, "48 in", c.Log.Panel.Along)
	require.Equal(t, []casefile.Step{{Do: "hang", At: "4/9 9am"}}, c.Log.Steps)
}

// TestWhatIsTaken looks at single texts of the log: what is refused and what is
// asked about once more.
func TestWhatIsTaken(t *testing.T) {
	c := coated(unlogged(), primed())
	c.Log.Steps = []casefile.Step{{Do: "sand", At: "2026-04-04 9:00", TakesOff: "1 mil"}}
	seen := map[string]prompt.LineAsk{}
	p := &lineWatch{Scripted: New(t, No("Enter another?"),
		Choose("step-do", "fan-on"), Line("step-when", ""), Line("step-speed", ""), Yes("Right?"), Choose("step-do", "sand"), Line("step-face", ""),
		Line("step-when", ""), Line("step-takes-off", ""), Yes("Right?"), Choose("step-do", "no"), Line("logger-file", ""), Line("air-at", "4/3 8am"),
		Line("air-temperature", ""), Line("air-humidity", ""), Line("air-at", ""), Line("log-zone", ""), Line("panel-along", ""), Line("log-shop", ""), No("add something")),
		see: func(l prompt.LineAsk) {
			if _, ok := seen[l.ID]; !ok {
				seen[l.ID] = l
			}
		}}
	_, err := interview.New(small(t), c, p, saved, ranked).Run(context.Background(), interview.Options{Where: "desk"})
	require.NoError(t, err)
	for _, row := range []struct{ id, text, refused, doubted string }{
		{"step-when", "3 h later", "", ""},
		{"step-when", "overnight", "", ""},
		{"step-when", "1:30 later", "", ""},
		{"step-when", "about 2 days after", "", ""},
		{"step-when", "2026-04-04 14:00", "", ""},
		{"step-when", "4/4 noon", "", ""},
		{"step-when", "2:30 pm", "write the date too, like 4/3 2:30 pm", ""},
		{"step-when", "14:00", "write the date too, like 4/3 14:00", ""},
		{"step-when", "3", "3 h later", ""},
		{"step-when", "later that day", "3 h later", ""},
		{"step-when", "4/5", "", "no time of day"},
		{"step-when", "2026-04-03 8:00", "", "the line before is at 2026-04-04 9:00"},
		{"step-speed", "high", "", ""},
		{"step-face", "roof", "", "none of front, back, edges and both"},
		{"step-face", "back", "", ""},
		{"step-takes-off", "1 mil", "", ""},
		{"step-takes-off", "a bit", "write", ""},
		{"air-at", "8am", "write the date too, like 4/3 8am", ""},
		{"air-at", "4/3", "", "no time of day"},
		{"air-temperature", "600", "", "very much"},
		{"air-humidity", "0.4", "", "very little"},
		{"log-zone", "Europe/Berlin", "", ""},
		{"log-zone", "Central", "write America/Chicago", ""},
		{"log-zone", "EDT", "write America/New_York", ""},
		{"log-zone", "los angeles", "write America/Los_Angeles", ""},
		{"log-zone", "america/denver", "write America/Denver", ""},
		{"log-zone", "Local", "such as America/Chicago", ""},
		{"log-zone", "here", "such as America/Chicago", ""},
		{"log-zone", "EST", "", "America/New_York keeps summer time too"},
		{"panel-along", "48", "write the unit", ""},
		{"panel-along", "4 ft 6 in", "", ""},
		{"log-shop", "yes", "write the name of the file", ""},
	} {
		l := seen[row.id]
		if row.text == "high" {
			require.Error(t, l.Check(row.text), "a speed is a figure")
			continue
		}
		err := l.Accepts(row.text)
		if row.refused != "" {
			require.ErrorContains(t, err, row.refused, "%s: %s", row.id, row.text)
			continue
		}
		require.NoError(t, err, "%s: %s", row.id, row.text)
		if row.doubted == "" {
			require.Empty(t, l.Doubt(row.text), "%s: %s", row.id, row.text)
		} else {
			require.Contains(t, l.Doubt(row.text), row.doubted, "%s: %s", row.id, row.text)
		}
	}
}

// A stretch of time needs a line before it, and a face without a coat is none.
func TestNothingToCountFrom(t *testing.T) {
	bare := casefile.Coat{Face: "back", Material: "none"}
	for _, row := range []struct {
		coats []casefile.Coat
		how   string
		taken bool
	}{
		{[]casefile.Coat{bare}, "", false},
		{[]casefile.Coat{primed(), bare}, `"3 h later" counts from the start of coat 1.`, true},
	} {
		p := &lineWatch{Scripted: New(t, No("Enter another?"), Choose("step-do", "hang"), Fails(Line("step-when", ""), prompt.Instead{Command: prompt.Stop})),
			see: func(l prompt.LineAsk) {
				require.Equal(t, row.how, l.How)
				require.Equal(t, row.taken, l.Check("3 h later") == nil)
				require.NoError(t, l.Check("4/3 9am"))
			}}
		_, err := interview.New(small(t), coated(row.coats...), p, saved, ranked).Run(context.Background(), interview.Options{Where: "desk"})
		require.NoError(t, err)
	}
}

func TestThinningOfIsAskedOverThreePercent(t *testing.T) {
	for thinning, asked := range map[string]bool{"3 %": false, "0": false, "2": false, "5 %": true, "2-4 %": true} {
		c := atTheCoats()
		script := []Step{Yes("Enter the coats"), Line("coat-face", "front"), Line("coat-material", "primer"), Line("coat-start", "4/3 8am"),
			Line("coat-wet-film", ""), Line("coat-thinning", thinning)}
		told := "thinning " + strings.TrimSuffix(thinning, " %") + " %. Right?"
		if asked {
			script = append(script, Choose("coat-thinning-of", "mix"))
			told = "thinning " + thinning + "; of the mix. Right?"
		}
		p := New(t, append(script, at("tool", prompt.Done), Fails(Yes(told), prompt.ErrInterrupted))...)
		_, err := interview.New(small(t), c, p, saved, ranked).Run(context.Background(), interview.Options{Where: "desk"})
		require.ErrorIs(t, err, prompt.ErrInterrupted)
		require.Equal(t, asked, c.Coats[0].ThinningOf == "mix", thinning)
	}
}

// A face that got no coat is asked nothing else, and lacks nothing.
func TestAFaceWithoutACoat(t *testing.T) {
	c := atTheCoats()
	talk(t, c, "desk", append([]Step{
		Yes("Enter the coats"), Line("coat-face", "back"), Line("coat-material", "None"), Yes("Coat 1: face back; no coat. Right?"), No("Enter another?"),
	}, append(restSkipped(), No("add something"))...)...)
	require.Equal(t, []casefile.Coat{{Face: "back", Material: "None"}}, c.Coats)
	logged(t, c, restSkipped())
}

// The back of a panel is named by the word that leads back elsewhere.
func TestTheBackIsAFace(t *testing.T) {
	c := atTheCoats()
	var out strings.Builder
	in := "yes\nback\nprimer\n4/3\n4/3 8am\ndone\nyes\nyes\nfront\nprimer\nb\nb\nb\nback\nstop\n"
	_, err := interview.New(small(t), c, prompt.NewPlain(strings.NewReader(in), &out, func() int { return 500 }), saved, ranked).
		Run(context.Background(), interview.Options{Where: "desk"})
	require.NoError(t, err, out.String())
	require.Equal(t, []string{"back", "front"}, []string{c.Coats[0].Face, c.Coats[1].Face}, out.String())
	require.Equal(t, "4/3 8am", c.Coats[0].Start)
	require.Contains(t, out.String(), `"4/3" has no time of day`)
}
