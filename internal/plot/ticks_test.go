package plot

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func texts(ticks []Tick) (clocks, days []string) {
	for _, t := range ticks {
		clocks = append(clocks, t.Text)
		days = append(days, t.Day)
	}
	return clocks, days
}

// 12 June 2026 is a Friday.
func fridayMorning() time.Time { return time.Date(2026, time.June, 12, 7, 30, 0, 0, time.UTC) }

func TestTicksOfADay(t *testing.T) {
	ticks := Ticks(fridayMorning(), 0, day, 5)
	clocks, days := texts(ticks)
	require.Equal(t, []string{"12:00", "18:00", "0:00", "6:00"}, clocks)
	require.Equal(t, []string{"Fri 12 Jun", "", "Sat 13 Jun", ""}, days)
	require.InDelta(t, 4.5*hour, ticks[0].At, 1e-9)
}

func TestTicksOfTenDays(t *testing.T) {
	clocks, days := texts(Ticks(fridayMorning(), 0, 10*day, 5))
	require.Equal(t, []string{"Sun", "Tue", "Thu", "Sat", "Mon"}, clocks)
	require.Equal(t, []string{"14 Jun", "16 Jun", "18 Jun", "20 Jun", "22 Jun"}, days)
}

func TestTicksOfAnHour(t *testing.T) {
	clocks, _ := texts(Ticks(fridayMorning(), 0, hour, 4))
	require.Equal(t, []string{"7:30", "7:45", "8:00", "8:15", "8:30"}, clocks)
}

func TestTicksWithoutAClock(t *testing.T) {
	clocks, days := texts(Ticks(time.Time{}, 0, 18*hour, 3))
	require.Equal(t, []string{"0 h", "6 h", "12 h", "18 h"}, clocks)
	require.Equal(t, []string{"", "", "", ""}, days)
	clocks, _ = texts(Ticks(time.Time{}, hour, 2*hour, 4))
	require.Equal(t, []string{"60 min", "75 min", "90 min", "105 min", "120 min"}, clocks)
}

// TestTicksKeepTheClockWhenItIsSet: in a zone where the clock goes from 2:00 to
// 3:00 on 8 March 2026, noon of that day is 11 hours after midnight.
func TestTicksKeepTheClockWhenItIsSet(t *testing.T) {
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		t.Skip("no table of time zones here")
	}
	ticks := Ticks(time.Date(2026, time.March, 8, 0, 0, 0, 0, zone), 0, 23*hour, 4)
	clocks, _ := texts(ticks)
	require.Equal(t, []string{"0:00", "6:00", "12:00", "18:00", "0:00"}, clocks)
	require.InDelta(t, 11*hour, ticks[2].At, 1e-9)
}

func TestStepsOfTime(t *testing.T) {
	for _, c := range []struct {
		span float64
		most int
		want float64
	}{
		{hour, 4, hour / 4}, {hour, 3, hour / 2}, {4 * hour, 4, hour}, {day, 5, 6 * hour}, {4 * day, 9, 12 * hour},
		{4 * day, 5, day}, {10 * day, 5, 2 * day}, {30 * day, 5, 7 * day}, {100 * day, 5, 28 * day},
	} {
		require.InDelta(t, c.want, stepFor(c.span, c.most), 1e-9, "%v in %d", c.span, c.most)
	}
}

func TestTicksStayInOrderAndInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from, to := instant().Draw(t, "from"), instant().Draw(t, "to")
		most := rapid.IntRange(-1, 20).Draw(t, "most")
		start := fridayMorning()
		if rapid.Bool().Draw(t, "counted") {
			start = time.Time{}
		}
		ticks := Ticks(start, from, to, most)
		require.LessOrEqual(t, len(ticks), max(most, 1)+1)
		for i, tick := range ticks {
			require.GreaterOrEqual(t, tick.At, from)
			require.LessOrEqual(t, tick.At, to)
			require.NotEmpty(t, tick.Text)
			require.True(t, i == 0 || ticks[i-1].At < tick.At)
		}
	})
}

func TestMomentsInWords(t *testing.T) {
	c := clockOf(fridayMorning(), window{0, 2 * day})
	require.Equal(t, "Fri 7:30", c.moment(0))
	require.Equal(t, "Sat 0:00", c.moment(16.5*hour-20))
	require.Equal(t, "Fri 12 Jun 8:00", clockOf(fridayMorning(), window{0, 8 * day}).moment(hour/2))
	counting := clockOf(time.Time{}, window{0, day})
	require.Equal(t, "26 h 30 min", counting.moment(26.5*hour))
	require.Equal(t, "-5 min", counting.moment(-300))
	require.Equal(t, "0 h", counting.moment(-1))
}
