package implied_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"filmfault/internal/casefile"
)

// wholeLog is a log, invented, whose plain answers were worked out by hand.
const wholeLog = `failures: {blistering: seen}
findings: {log-wrapped: not-checked, log-first-wet: cured}
log:
  coats:
    - {face: both, material: primer, start: 2026-04-03 08:00, wet-film: 10 mil, thinning: 2 %, fan: 300 fpm}
    - {face: both, material: primer, start: 2026-04-03 14:00, wet-film: 10 mil, thinning: 20 %, thinning-of: mix}
    - {face: both, material: acrylic paint, start: 2026-04-04 08:00, wet-film: 4 mil}
  steps:
    - {at: 2026-04-05 08:00, do: wet}
    - {at: 2026-04-06 08:00, do: wrap}
    - {at: 2026-04-09 20:00, do: hang}
  air:
`

// hourly is the air, read every so many hours from the first coat to the hanging.
func hourly(temperature, humidity string, hours int) string {
	var b strings.Builder
	start := time.Date(2026, 4, 3, 7, 0, 0, 0, time.UTC)
	for h := 0; h <= 160; h += hours {
		at := start.Add(time.Duration(h) * time.Hour).Format("2006-01-02 15:04")
		fmt.Fprintf(&b, "    - {at: %s, temperature: %s, humidity: %s}\n", at, temperature, humidity)
	}
	return b.String()
}

// answeredFrom are the answers to a case with its log read, by finding.
func answeredFrom(t *testing.T, text string) map[string]casefile.Entry {
	t.Helper()
	c := parse(t, text)
	before := len(c.Findings)
	l := of(t, shipped(t), c)
	require.Empty(t, l.Problems)
	got := map[string]casefile.Entry{}
	answered := l.Answered()
	for _, e := range answered.Findings {
		got[e.ID] = e
	}
	require.Len(t, c.Findings, before, "the case itself is left as it is")
	require.Len(t, got, len(answered.Findings), "no finding is answered twice")
	return got
}

// TestALogAnswersWhatItSays: what nobody answered, or nobody checked, is read in
// the log; an answer given stands.
func TestALogAnswersWhatItSays(t *testing.T) {
	got := answeredFrom(t, wholeLog+hourly("72 F", "50 %", 1))
	require.Equal(t, "5.5 days", got["log-sun-age"].Value, "132 h")
	require.Equal(t, "25 %", got["log-thinning"].Value, "20 % of the mix are 25 % of the paint")
	require.Equal(t, "yes", got["log-wrapped"].Answer, "two days are under three")
	require.Equal(t, "cured", got["log-first-wet"].Answer)
	require.NotContains(t, got, "log-graphics", "the log says nothing of graphics")
	for _, id := range []string{"log-sun-age", "log-thinning", "log-wrapped"} {
		require.Equal(t, "logged", got[id].Source)
	}
}

// TestALogSaysHowColdASurfaceWas: air of 70 F and 50 % has a wet bulb of 58.5 F
// (psychrometric chart at sea level, from memory), and a wet film lies between.
func TestALogSaysHowColdASurfaceWas(t *testing.T) {
	require.Equal(t, "58-70 F", answeredFrom(t, wholeLog+hourly("70 F", "50 %", 1))["log-cold"].Value)
	require.NotContains(t, answeredFrom(t, wholeLog+hourly("70 F", "50 %", 6)), "log-cold",
		"four readings a day do not say how cold the night between was")
}

// TestALogThatStopsShortAnswersNothing: where no coat is logged after the primer,
// the last coat is not known, and so not how long after it the sun came.
func TestALogThatStopsShortAnswersNothing(t *testing.T) {
	short := strings.Replace(wholeLog, "    - {face: both, material: acrylic paint, start: 2026-04-04 08:00, wet-film: 4 mil}\n", "", 1)
	require.NotEqual(t, wholeLog, short)
	got := answeredFrom(t, short+hourly("72 F", "50 %", 1))
	require.NotContains(t, got, "log-sun-age")
	require.True(t, got["log-wrapped"].NotChecked)
	require.Equal(t, "25 %", got["log-thinning"].Value)
}

// TestAColdFilmIsToldOf: paint put up in a cold room may dry and never fuse.
// Common practice, no source.
func TestAColdFilmIsToldOf(t *testing.T) {
	cold := of(t, shipped(t), parse(t, wholeLog+hourly("45 F", "50 %", 12)))
	require.Contains(t, strings.Join(cold.Notes, " "), "fell to 45 F within 12 h of a coat")
	warm := of(t, shipped(t), parse(t, wholeLog+hourly("65 F", "50 %", 12)))
	require.NotContains(t, strings.Join(warm.Notes, " "), "never fuses")
}
