package cli

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Days of a common year: any calendar.
func TestReadDate(t *testing.T) {
	for text, want := range map[string]int{
		"January 1": 1, "jan 1": 1, "July 4": 185, "4 July": 185, "4th of July": 185, "july 4th, 2026": 185, "2026-07-04": 185,
		"07-04": 185, "Sept 1": 244, "Dec. 31": 365, "February 29": 60, "July": 202, "JULY 2025": 202,
	} {
		got, err := readDate(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got.day, text)
	}
	month, err := readDate("July")
	require.NoError(t, err)
	assert.True(t, month.assumed, "the day of a month alone is assumed")
	for text, says := range map[string]string{
		"": "write a date", "7/4": "two ways", "4.7.2026": "two ways", "July 32": "days 1 to 31", "2026-13-01": "no such month",
		"Juli 4": "did you mean July 4?", "185": "write a date", "Feb 30": "days 1 to 29", "July 0": "days 1 to 31", "ma": "did you mean May?", "xylophone": "no date",
	} {
		_, err := readDate(text)
		require.ErrorContains(t, err, says, text)
	}
}

func TestReadHour(t *testing.T) {
	for text, want := range map[string]float64{
		"noon": 12, "midnight": 0, "12 am": 0, "12 pm": 12, "4 pm": 16, "4pm": 16, "9:30 AM": 9.5, "16": 16, "16:45": 16.75,
		"12": 12, "0:30": .5, "09:00": 9, "4 p.m.": 16, "24:00": 24,
	} {
		got, err := readHour(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want, got, 1e-9, text)
	}
	for text, says := range map[string]string{
		"": "no time", "4": "Write 4 am or 4 pm", "9:30": "Write 9:30 am or 9:30 pm", "25": "no such time", "13 pm": "no such time",
		"0 am": "no such time", "4:75 pm": "no such time", "teatime": "no time", "24:30": "no such time",
	} {
		_, err := readHour(text)
		require.ErrorContains(t, err, says, text)
	}
}

func TestClockWords(t *testing.T) {
	for hour, want := range map[float64]string{0: "midnight", 24: "midnight", 12: "noon", 9.5: "9:30 am", 12.25: "12:15 pm", .5: "12:30 am", 16.3: "4:18 pm", 23.999: "midnight"} {
		assert.Equal(t, want, clock(hour), "%g", hour)
	}
}

// What is written back is read as the same time.
func TestClockIsReadBack(t *testing.T) {
	for minute := range 24 * 60 {
		hour := float64(minute) / 60
		got, err := readHour(clock(hour))
		require.NoError(t, err)
		require.InDelta(t, hour, got, 1e-9)
	}
}

// Zones: from memory, the letters in common use.
func TestReadZone(t *testing.T) {
	for text, want := range map[string]float64{"EDT": -4, "edt": -4, "UTC": 0, "UTC-4": -4, "-5": -5, "gmt+5:30": 5.5, "UTC -3:30": -3.5, "-0:30": -.5, "CEST": 2} {
		got, err := readZone(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want, got, 1e-9, text)
	}
	for _, text := range []string{"", "XYZ", "5", "UTC-99", "UTC+5:90", "east"} {
		_, err := readZone(text)
		require.ErrorContains(t, err, "write its letters", text)
	}
}

func TestReadPlace(t *testing.T) {
	for text, want := range map[string]float64{"40": 40, "40 N": 40, "33.9S": -33.9, "-33.9": -33.9, "40\u00b0 n": 40, "40 degrees": 40, "40 degrees S": -40, "0": 0} {
		got, err := readLatitude(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want, got, 1e-9, text)
	}
	for _, text := range []string{"", "400", "40 W", "-40 S", "north", "1e5", "4000000000000"} {
		_, err := readLatitude(text)
		require.ErrorContains(t, err, "write degrees", text)
	}
	for text, want := range map[string]float64{"75 W": -75, "-75": -75, "+13.4": 13.4, "13.4 E": 13.4, "0": 0} {
		got, err := readLongitude(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want, got, 1e-9, text)
	}
	_, err := readLongitude("75")
	require.ErrorContains(t, err, "Write 75 E or 75 W")
	for _, text := range []string{"", "190 W", "75 N", "-75 W"} {
		_, err := readLongitude(text)
		require.ErrorContains(t, err, "write degrees", text)
	}
}

func TestReadFacing(t *testing.T) {
	for text, want := range map[string]float64{"n": 0, "NE": 45, "south-west": 225, "South West": 225, "wnw": 292.5, "245": 245, "245 deg": 245, "360": 360} {
		got, err := readFacing(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want, got.degrees, 1e-9, text)
	}
	for text, says := range map[string]string{"wset": "did you mean west?", "up": "write n, ne", "400": "0 to 360", "-90": "0 to 360", "": "write n, ne"} {
		_, err := readFacing(text)
		require.ErrorContains(t, err, says, text)
	}
	for text, want := range map[string]float64{"upright": 90, "Level": 0, "45": 45, "180 degrees": 180} {
		got, err := readTilt(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want, got, 1e-9, text)
	}
	for _, text := range []string{"", "steep", "181", "-1", "45 N"} {
		_, err := readTilt(text)
		require.ErrorContains(t, err, "write upright", text)
	}
}

// An hour by the sun comes back from the clock it was turned into.
func TestClockAndSunAgree(t *testing.T) {
	for _, at := range []place{{true, -75, -4}, {true, 13.4, 2}, {true, 179, 12}, {true, -179, -12}} {
		for day := 1; day <= 365; day += 7 {
			for hour := .5; hour < 24; hour++ {
				onClock, err := at.clock(day, hour)
				require.NoError(t, err)
				got, err := at.solar(day, onClock)
				require.NoError(t, err)
				// The clock's day may be the next, where noon is up to half a
				// minute elsewhere.
				require.InDelta(t, hour, got, .02, "%v day %d hour %g", at, day, hour)
			}
		}
	}
}
