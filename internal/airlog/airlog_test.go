package airlog_test

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"filmfault/internal/airlog"
	"filmfault/internal/source"
)

// The forms of files below are from memory of what loggers export; no device is
// meant.

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	loc, err := time.LoadLocation(name)
	require.NoError(t, err)
	return loc
}

func read(t testing.TB, text string, opt airlog.Options) (*airlog.Series, source.List) {
	t.Helper()
	opt.File = "log.csv"
	s, list, err := airlog.Read(strings.NewReader(text), opt)
	require.NoError(t, err)
	require.Equal(t, s == nil, list.HasErrors(), "%v", list)
	return s, list
}

// checks lists the checks of the findings.
func checks(list source.List) []string {
	out := []string{}
	for _, d := range list {
		out = append(out, d.Check)
	}
	return out
}

func TestFormsOfFiles(t *testing.T) {
	utc := airlog.Options{Location: time.UTC}
	us := utc
	us.Assume.Dates = airlog.MonthFirst
	german := "Seriennummer;4711\r\nStandort;Werkstatt\r\n\r\nDatum;Uhrzeit;Temperatur [°C];Luftfeuchte [% rF];Taupunkt [°C]\r\n" +
		"05.03.2026;14:05:00;21,5;48,0;10,1\r\n05.03.2026;14:15:00;22,5;50,0;11,6\r\n"
	for _, c := range []struct {
		name, text string
		opt        airlog.Options
		findings   []string
	}{
		{"ISO, C", "Time,Temperature (°C),Humidity (%)\n2026-03-05 14:05,21.5,48\n2026-03-05 14:15,22.5,50\n", utc, nil},
		{"columns turned", "RH %;Temp_C;Timestamp\n48;21.5;2026-03-05T14:05:00\n50;22.5;2026-03-05T14:15:00\n", utc, nil},
		{"tabs, F, AM and PM", "Date\tTime\tTemp (F)\tRH (%)\n3/5/2026\t2:05:00 PM\t70.7\t48\n3/5/2026\t02:15:00 pm\t72.5\t50\n", us, nil},
		{"German, decimal comma, preamble", german, utc, nil},
		{"French", "Horodatage;Température (°C);Humidité relative (%)\n2026-03-05 14:05;21,5;48\n2026-03-05 14:15;22,5;50\n", utc, nil},
		{"Spanish, a. m.", "Fecha;Hora;Temperatura (°C);Humedad (%)\n05/03/2026;02:05:00 p. m.;21,5;48\n05/03/2026;02:15:00 p. m.;22,5;50\n",
			airlog.Options{Location: time.UTC, Assume: airlog.Assume{Dates: airlog.DayFirst}}, nil},
		{"quotes, numbered, serial numbers, events", "\ufeff\"Plot Title: shop\"\n" +
			"\"#\",\"Date Time, GMT+00:00\",\"Temp, °F (LGR S/N: 1, SEN S/N: 1)\",\"RH, % (LGR S/N: 1)\",\"Host Connected\"\n" +
			"1,\"03/05/26 02:05:00 PM\",70.70,48.00,\n2,\"03/05/26 02:15:00 PM\",72.50,50.00,\n3,\"03/05/26 02:16:00 PM\",,,Logged\n",
			airlog.Options{Assume: airlog.Assume{Dates: airlog.MonthFirst}}, []string{"no-values"}},
		{"unit column", "time,temperature,unit,humidity,unit\n2026-03-05 14:05,70.7,F,48,%RH\n2026-03-05 14:15,72.5,F,50,%RH\n", utc, nil},
		{"unit in the cells", "Time|Temperature|Humidity\n2026-03-05 14:05|70.7 °F|48%\n2026-03-05 14:15|72.5 °F|50 %\n", utc, nil},
		{"unit line", "Time;Temperature;Humidity\n;°C;%\n2026-03-05 14:05;21.5;48\n2026-03-05 14:15;22.5;50\n", utc, nil},
		{"unit above", "Temperature unit:,F\nTime,Temperature,Humidity\n2026-03-05 14:05,70.7,48\n2026-03-05 14:15,72.5,50\n", utc, nil},
		{"assumed F", "Time,Temperature,Humidity\n2026-03-05 14:05,70.7,48\n2026-03-05 14:15,72.5,50\n",
			airlog.Options{Location: time.UTC, Assume: airlog.Assume{Temperature: "F"}}, nil},
		{"zone in the time", "Time,Temp C,RH\n2026-03-05T09:05:00-05:00,21.5,48\n2026-03-05T09:15:00-05:00,22.5,50\n", airlog.Options{}, nil},
		{"zone in the header", "Time (UTC-5),Temp C,RH\n2026-03-05 09:05,21.5,48\n2026-03-05 09:15,22.5,50\n", airlog.Options{}, nil},
		{"seconds since 1970", "timestamp,temp_c,rh\n1772719500,21.5,48\n1772720100,22.5,50\n", airlog.Options{}, nil},
		{"month by name", "Time,Temp C,RH\nThu 5-Mar-2026 14:05,21.5,48\n\"Mar 5, 2026 14:15\",22.5,50\n", utc, nil},
		{"newest first", "Time,Temp C,RH\n2026-03-05 14:15,22.5,50\n2026-03-05 14:05,21.5,48\n", utc, []string{"newest-first"}},
		{"summary below", "Time,Temp C,RH\n2026-03-05 14:05,21.5,48\n2026-03-05 14:15,22.5,50\n\nAverage,22,49\nMaximum,22.5,50\n", utc, []string{"after-the-readings"}},
		{"fractions", "Time,Temp C,RH\n2026-03-05 14:05,21.5,.48\n2026-03-05 14:15,22.5,.50\n", utc, []string{"humidity-unit"}},
		{"clock an hour ahead", "Time,Temp C,RH\n2026-03-05 15:05,21.5,48\n2026-03-05 15:15,22.5,50\n",
			airlog.Options{Location: time.UTC, ClockAhead: time.Hour}, nil},
		{"24-hour stamps with Uhr", "Zeitstempel;Lufttemperatur °C;rel. Feuchte %\n05.03.2026 14:05 Uhr;21,5;48\n05.03.2026 14:15 Uhr;22,5;50\n", utc, nil},
		{"old Mac line ends", "Time,Temp C,RH\r2026-03-05 14:05,21.5,48\r2026-03-05 14:15,22.5,50\r", utc, nil},
		{"interval in the name of the time", "Timestamp for sample frequency every 1 min min,Temperature_Fahrenheit,Relative_Humidity\n" +
			"2026-03-05 14:05:00,70.7,48.0\n2026-03-05 14:15:00,72.5,50.0\n", utc, nil},
		{"device in the header", "Easy USB,Time,Celsius(°C),Humidity(%rh),Dew Point(°C),Serial Number\n" +
			"1,05/03/2026 14:05:00,21.5,48,9,123\n2,05/03/2026 14:15:00,22.5,50.0,10.0\n",
			airlog.Options{Location: time.UTC, Assume: airlog.Assume{Dates: airlog.DayFirst}}, nil},
		{"channels", "Datum / Uhrzeit\tKanal 1 [°C]\tKanal 2 [%rF]\n5.3.26 14:05\t21,5\t48\n5.3.26 14:15\t22,5\t50\n", utc, nil},
		{"one sign for the unit", "No.,Date & Time,Temperature(℃),Humidity%RH\n1,2026/03/05 14:05:00,21.5,48\n2,2026/03/05 14:15:00,22.5,50\n", utc, nil},
		{"statistics beside", "Time,Avg Temp (C),Max Temp (C),Temp alarm (C),RH (%),RH max (%),Absolute Humidity (g/m³),VPD\n" +
			"2026-03-05 14:05,21.5,40,30,48,90,9,1\n2026-03-05 14:15,22.5,41,30,50,90,9,1\n", utc, nil},
		{"sep line", "sep=;\nTime;Temp C;RH\n2026/03/05 14:05;21,5;48\n2026/03/05 14:15;22,5;50\n", utc, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, list := read(t, c.text, c.opt)
			require.Equal(t, append([]string{}, c.findings...), checks(list), "%v", list)
			require.Equal(t, 2, s.Len())
			assert.Equal(t, "2026-03-05T14:05:00Z", s.Start().Format(time.RFC3339))
			assert.Equal(t, "2026-03-05T14:15:00Z", s.End().Format(time.RFC3339))
			m, ok := s.Mean(s.Start(), s.End())
			require.True(t, ok)
			assert.InDelta(t, 273.15+22, m.Temperature, 1e-9)
			assert.InDelta(t, 0.49, m.Humidity, 1e-12)
			assert.Equal(t, 10*time.Minute, m.Covered)
		})
	}
}

func TestOtherEncodings(t *testing.T) {
	const text = "Time;Temperatur (°C);Feuchte (%)\r\n2026-03-05 14:05;21,5;48\r\n2026-03-05 14:15;22,5;50\r\n"
	units := utf16.Encode([]rune(text))
	var little, big, latin bytes.Buffer
	little.WriteString("\xff\xfe")
	big.WriteString("\xfe\xff")
	for _, u := range units {
		little.Write([]byte{byte(u), byte(u >> 8)})
		big.Write([]byte{byte(u >> 8), byte(u)})
		latin.WriteByte(byte(u))
	}
	for name, data := range map[string][]byte{
		"UTF-8 with mark": []byte("\ufeff" + text), "UTF-16 little": little.Bytes(), "UTF-16 big": big.Bytes(),
		"UTF-16 without mark": little.Bytes()[2:], "Latin-1": latin.Bytes(),
	} {
		s, list := read(t, string(data), airlog.Options{Location: time.UTC})
		require.Empty(t, list, name)
		assert.InDelta(t, 294.65, s.Reading(0).Temperature, 1e-9, name)
	}
}

func TestRefusals(t *testing.T) {
	utc := airlog.Options{Location: time.UTC}
	for _, c := range []struct {
		name, text string
		opt        airlog.Options
		check      string
		line       int
		says       string
	}{
		{"no unit", "Time,Temperature,Humidity\n2026-03-05 14:05,70.7,48\n", utc, "temperature-unit", 1, "F or C"},
		{"no zone", "Time,Temp C,RH\n2026-03-05 14:05,21,48\n", airlog.Options{}, "time-zone", 1, "zone"},
		{"empty", "", utc, "no-readings", 0, "empty"},
		{"another kind", "Order,Customer,Total\n1,Smith,20\n", utc, "no-header", 1, "Order"},
		{"no temperature", "Time,Humidity %\n2026-03-05 14:05,48\n", utc, "no-temperature", 1, "Humidity"},
		{"no humidity", "Time,Temp C\n2026-03-05 14:05,21\n", utc, "no-humidity", 1, "Temp C"},
		{"no times", "Time,Temp C,RH\nyesterday,21,48\n", utc, "no-readings", 1, "yesterday"},
		{"F as C", "Time,Temp C,RH\n2026-03-05 14:05,70,48\n2026-03-05 14:15,71,48\n", utc, "temperature-unit", 2, "look like F"},
		{"fraction under %", "Time,Temp C,RH %\n2026-03-05 14:05,21,.48\n", utc, "humidity-unit", 1, "fractions"},
		{"comma twice", "Time,Temp C,RH\n2026-03-05 14:05,21,5,48,0\n", utc, "comma", 2, "5 values under 3"},
		{"both orders", "Time,Temp C,RH\n13/05/2026 14:05,21,48\n05/14/2026 14:05,21,48\n", utc, "date-order", 3, "line 2"},
		{"wrong order stated", "Time,Temp C,RH\n13/05/2026 14:05,21,48\n",
			airlog.Options{Location: time.UTC, Assume: airlog.Assume{Dates: airlog.MonthFirst}}, "date-order", 2, "day first"},
		{"no AM or PM", "Time,Temp C,RH\n2026-03-05 11:05,21,48\n2026-03-05 12:05,21,48\n2026-03-05 1:05,21,48\n", utc, "twelve-hour", 4, "AM and PM"},
		{"no such unit", "Time,Temp,RH\n2026-03-05 11:05,21,48\n",
			airlog.Options{Location: time.UTC, Assume: airlog.Assume{Temperature: "degrees"}}, "temperature-unit", 0, "degrees"},
		{"out of order", "Time,Temp C,RH\n2026-03-05 14:05,21,48\n2026-03-01 14:05,21,48\n2026-03-02 14:05,21,48\n2026-03-03 14:05,21,48\n",
			utc, "clock-back", 3, "3 of 4"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, list := read(t, c.text, c.opt)
			require.Nil(t, s)
			var errs source.List
			for _, d := range list {
				if d.Severity == source.Error {
					errs = append(errs, d)
				}
			}
			require.Len(t, errs, 1, "%v", list)
			assert.Equal(t, c.check, errs[0].Check)
			assert.Equal(t, c.line, errs[0].Span.Start.Line)
			assert.Contains(t, errs[0].Summary+errs[0].Remedy, c.says)
			assert.NotEmpty(t, errs[0].Remedy)
		})
	}
}

func TestWhatIsNotRead(t *testing.T) {
	_, _, err := airlog.Read(strings.NewReader("PK\x03\x04\x00\x00"), airlog.Options{})
	require.ErrorIs(t, err, airlog.ErrNotText)
	many := &counting{}
	_, _, err = airlog.Read(many, airlog.Options{MaxBytes: 1 << 20})
	require.ErrorIs(t, err, airlog.ErrTooLarge)
	assert.LessOrEqual(t, many.read, int64(2<<20), "a file over the limit is not read to its end")
}

func TestALargeFileIsNotOpenedUp(t *testing.T) {
	f, err := os.Create(filepath.Join(t.TempDir(), "log.csv"))
	require.NoError(t, err)
	defer func() { _ = f.Close() }()
	require.NoError(t, f.Truncate(100<<20))
	_, _, err = airlog.Read(f, airlog.Options{})
	require.ErrorIs(t, err, airlog.ErrTooLarge)
	at, err := f.Seek(0, io.SeekCurrent)
	require.NoError(t, err)
	assert.Zero(t, at, "a file that tells its size is refused without being read")
}

// counting is a file without end that counts what was read of it.
type counting struct{ read int64 }

func (c *counting) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = "2026-03-05 14:05,21,48\n"[i%23]
	}
	c.read += int64(len(p))
	if c.read > 200<<20 {
		return 0, io.ErrUnexpectedEOF
	}
	return len(p), nil
}

func TestDateOrder(t *testing.T) {
	opt := airlog.Options{Location: time.UTC}
	for _, c := range []struct {
		name, rows, start string
		findings          []string
	}{
		{"a day over 12 proves it", "05/03/2026 23:50,21,48\n13/03/2026 00:00,21,48\n", "2026-03-05T23:50:00Z", nil},
		{"a month-first day over 12", "03/05/2026 23:50,21,48\n03/13/2026 00:00,21,48\n", "2026-03-05T23:50:00Z", nil},
		{"midnight proves day first", "05/03/2026 23:50,21,48\n06/03/2026 00:00,21,48\n", "2026-03-05T23:50:00Z", nil},
		{"midnight proves month first", "03/05/2026 23:50,21,48\n03/06/2026 00:00,21,48\n", "2026-03-05T23:50:00Z", nil},
		{"nothing proves it", "03/05/2026 10:50,21,48\n03/05/2026 11:00,21,48\n", "2026-03-05T10:50:00Z", []string{"date-order"}},
		{"dots put the day first", "05.03.2026 10:50,21,48\n05.03.2026 11:00,21,48\n", "2026-03-05T10:50:00Z", nil},
	} {
		s, list := read(t, "Time,Temp C,RH\n"+c.rows, opt)
		require.NotNil(t, s, "%s: %v", c.name, list)
		assert.Equal(t, c.start, s.Start().Format(time.RFC3339), c.name)
		assert.Equal(t, append([]string{}, c.findings...), checks(list), c.name)
	}
}

// logOf writes a log of C and % at the wall times given.
func logOf(times ...string) string {
	var b strings.Builder
	b.WriteString("Time,Temp C,RH %\n")
	for i, when := range times {
		fmt.Fprintf(&b, "%s,%d,50\n", when, 20+i%3)
	}
	return b.String()
}

// The United States change their clocks at 2:00 on 8 March and 1 November 2026
// (Energy Policy Act of 2005: second Sunday of March, first of November).
func TestSummerTime(t *testing.T) {
	chicago := airlog.Options{Location: zone(t, "America/Chicago")}
	spring := logOf("2026-03-08 01:00", "2026-03-08 01:30", "2026-03-08 03:00", "2026-03-08 03:30")
	s, list := read(t, spring, chicago)
	require.Equal(t, []string{"summer-time"}, checks(list))
	assert.Equal(t, 4, list[0].Span.Start.Line)
	assert.Equal(t, 90*time.Minute, s.End().Sub(s.Start()), "no time is lost")
	assert.Empty(t, s.Gaps())

	stays := logOf("2026-03-08 01:00", "2026-03-08 01:30", "2026-03-08 02:00", "2026-03-08 02:30", "2026-03-08 03:00")
	s, list = read(t, stays, chicago)
	require.Equal(t, []string{"summer-time"}, checks(list))
	assert.Contains(t, list[0].Summary, "does not follow")
	assert.Equal(t, 2*time.Hour, s.End().Sub(s.Start()))
	assert.Equal(t, 5, s.Len())

	autumn := logOf("2026-11-01 00:30", "2026-11-01 01:00", "2026-11-01 01:30", "2026-11-01 01:00", "2026-11-01 01:30", "2026-11-01 02:00")
	s, list = read(t, autumn, chicago)
	require.Equal(t, []string{"summer-time"}, checks(list))
	assert.Equal(t, 5, list[0].Span.Start.Line)
	assert.Equal(t, 6, s.Len())
	assert.Equal(t, 150*time.Minute, s.End().Sub(s.Start()))
	assert.Equal(t, "2026-11-01T05:30:00Z", s.Start().Format(time.RFC3339))

	s, list = read(t, autumn, airlog.Options{Location: time.UTC})
	require.Equal(t, []string{"clock-back"}, checks(list), "a zone without the change cannot explain it")
	assert.Equal(t, 5, list[0].Span.Start.Line)
	assert.Equal(t, 4, s.Len())
}

// A log of a clock that follows its zone, with a reading at least each 59 min,
// gives back the instants it was written at, over both changes of a year.
func TestAnyClockIsReadBack(t *testing.T) {
	chicago := zone(t, "America/Chicago")
	rapid.Check(t, func(t *rapid.T) {
		// The changes are at 8:00 on 8 March and 7:00 on 1 November, UTC.
		when := rapid.SampledFrom([]time.Time{time.Date(2026, 3, 8, 6, 0, 0, 0, time.UTC),
			time.Date(2026, 11, 1, 5, 0, 0, 0, time.UTC)}).Draw(t, "start")
		var instants []time.Time
		var b strings.Builder
		b.WriteString("Time,Temp C,RH %\n")
		for range 60 {
			instants = append(instants, when)
			fmt.Fprintf(&b, "%s,21,50\n", when.In(chicago).Format("2006-01-02 15:04:05"))
			when = when.Add(time.Duration(rapid.IntRange(300, 59*60).Draw(t, "step")) * time.Second)
		}
		s, _, err := airlog.Read(strings.NewReader(b.String()), airlog.Options{Location: chicago})
		require.NoError(t, err)
		require.NotNil(t, s)
		require.Equal(t, len(instants), s.Len())
		for i, want := range instants {
			require.Equal(t, want, s.Reading(i).Time())
		}
	})
}

func TestFindings(t *testing.T) {
	opt := airlog.Options{Location: time.UTC}
	s, list := read(t, logOf("2026-03-05 10:00", "2026-03-05 10:10", "2026-03-05 10:20", "2026-03-05 14:20", "2026-03-05 14:30"), opt)
	require.Equal(t, []string{"gap"}, checks(list))
	assert.Equal(t, 5, list[0].Span.Start.Line)
	assert.Contains(t, list[0].Summary, "4 h")
	require.Len(t, s.Gaps(), 1)
	assert.Equal(t, 4*time.Hour, s.Missing(s.Start(), s.End()))

	s, list = read(t, logOf("2026-03-05 10:00", "2026-03-05 10:10", "2026-03-05 10:10", "2026-03-05 10:20"), opt)
	require.Equal(t, []string{"same-time"}, checks(list))
	require.Equal(t, 3, s.Len())
	assert.InDelta(t, 273.15+21.5, s.Reading(1).Temperature, 1e-9, "21 and 22 averaged")

	s, _ = read(t, "Time,Temp C,RH %\n2026-03-05 10:00,21,40\n2026-03-05 10:00,21,50\n2026-03-05 10:00,21,90\n", opt)
	assert.InDelta(t, .6, s.Reading(0).Humidity, 1e-12)

	_, list = read(t, logOf("2000-01-01 00:00", "2000-01-01 00:10", "2026-03-05 10:00", "2026-03-05 10:10"), opt)
	require.Equal(t, []string{"clock-jump"}, checks(list))

	s, list = read(t, "Time,Temp C,RH %\n2026-03-05 10:00,21,103\n2026-03-05 10:10,-999,50\n2026-03-05 10:20,21,180\n2026-03-05 10:30,21,---\n2026-03-05 10:40,21,50\nbroken\n2026-03-05 10:50,21,50\n", opt)
	assert.Equal(t, []string{"humidity-over-100", "temperature-range", "humidity-range", "no-values", "gap", "not-a-reading"}, checks(list))
	assert.Equal(t, 1.0, s.Reading(0).Humidity)

	_, list = read(t, "Time,Temp 1 C,Temp 2 C,RH %\n2026-03-05 10:00,21,22,50\n", opt)
	require.Equal(t, []string{"several-columns"}, checks(list))
	opt.Columns.Temperature = "temp 2 c"
	s, list = read(t, "Time,Temp 1 C,Temp 2 C,RH %\n2026-03-05 10:00,21,22,50\n", opt)
	require.Empty(t, list)
	assert.InDelta(t, 295.15, s.Reading(0).Temperature, 1e-9)
}

func TestManyFindingsAreCut(t *testing.T) {
	var times []string
	for day := range 15 {
		for minute := range 20 {
			times = append(times, fmt.Sprintf("2026-03-%02d 10:%02d", day+1, minute))
		}
	}
	_, list := read(t, logOf(times...), airlog.Options{Location: time.UTC})
	require.Len(t, list, 10)
	assert.Contains(t, list[9].Summary, "and 4 more")
}

// Humidity from the dew point: 23 C and 12.028 C are 50 % (reference library,
// both over water).
func TestHumidityFromDewPoint(t *testing.T) {
	s, list := read(t, "Time,Temp C,Dew Point C\n2026-03-05 10:00,23,12.028\n", airlog.Options{Location: time.UTC})
	require.Empty(t, list)
	assert.InDelta(t, 0.5, s.Reading(0).Humidity, 1e-4)
	assert.InDelta(t, 285.178, s.Reading(0).DewPoint, 1e-9)
}

func TestMeanAndMissing(t *testing.T) {
	start := time.Date(2026, 3, 5, 10, 0, 0, 0, time.UTC)
	at := func(m int) time.Time { return start.Add(time.Duration(m) * time.Minute) }
	s, err := airlog.NewSeries([]airlog.Reading{
		airlog.At(at(0), 290, .4), airlog.At(at(10), 300, .6), airlog.At(at(60), 280, .8), airlog.At(at(70), 280, .8),
	}, 20*time.Minute)
	require.NoError(t, err)
	m, ok := s.Mean(at(0), at(5))
	require.True(t, ok)
	assert.InDelta(t, 292.5, m.Temperature, 1e-9, "a straight line from 290 to 295")
	m, ok = s.Mean(at(5), at(5))
	require.True(t, ok)
	assert.InDelta(t, 295, m.Temperature, 1e-9)
	assert.Zero(t, m.Covered)
	m, _ = s.Mean(at(-100), at(100))
	assert.InDelta(t, (295+280)/2., m.Temperature, 1e-9, "the gap counts for nothing")
	assert.Equal(t, 20*time.Minute, m.Covered)
	for _, q := range [][2]int{{20, 50}, {80, 90}, {-9, -1}, {30, 30}, {5, 0}} {
		_, ok = s.Mean(at(q[0]), at(q[1]))
		assert.False(t, ok, "%v", q)
	}
	assert.Equal(t, 50*time.Minute, s.Missing(at(0), at(70)))
	assert.Equal(t, 30*time.Minute, s.Missing(at(20), at(50)))
	assert.Zero(t, s.Missing(at(5), at(0)))
	_, ok = s.Mean(time.Time{}, at(70))
	assert.True(t, ok, "the zero time is long ago")
	_, err = airlog.NewSeries(nil, 0)
	require.ErrorIs(t, err, airlog.ErrEmpty)
	_, err = airlog.NewSeries([]airlog.Reading{airlog.At(at(1), 290, .4), airlog.At(at(0), 290, .4)}, 0)
	require.Error(t, err)
	_, err = airlog.NewSeries([]airlog.Reading{airlog.At(at(1), 70, .4)}, 0)
	require.ErrorContains(t, err, "air temperature")
}

// Means over parts, weighted by what they cover, make the mean over the whole;
// covered and missing make the stretch; no mean leaves the range of readings.
func TestMeansAddUp(t *testing.T) {
	start := time.Date(2026, 3, 5, 10, 0, 0, 0, time.UTC)
	rapid.Check(t, func(t *rapid.T) {
		when, readings := start, []airlog.Reading{}
		low, high := math.Inf(1), math.Inf(-1)
		for range rapid.IntRange(1, 30).Draw(t, "n") {
			when = when.Add(time.Duration(rapid.Int64Range(1, int64(2*time.Hour)).Draw(t, "step")))
			temp := rapid.Float64Range(260, 310).Draw(t, "temp")
			low, high = min(low, temp), max(high, temp)
			readings = append(readings, airlog.At(when, temp, rapid.Float64Range(0, 1).Draw(t, "rh")))
		}
		s, err := airlog.NewSeries(readings, time.Hour)
		require.NoError(t, err)
		moment := func(name string) time.Time {
			return start.Add(time.Duration(rapid.Int64Range(-int64(time.Hour), int64(60*time.Hour)).Draw(t, name)))
		}
		a, b, c := moment("a"), moment("b"), moment("c")
		if b.Before(a) {
			a, b = b, a
		}
		if c.Before(b) {
			return
		}
		x, _ := s.Mean(a, b)
		y, _ := s.Mean(b, c)
		all, ok := s.Mean(a, c)
		// A stretch of less than a µs is below the round-off of the sums.
		if ok && all.Covered > time.Microsecond {
			sum := x.Temperature*x.Covered.Seconds() + y.Temperature*y.Covered.Seconds()
			assert.InDelta(t, all.Temperature*all.Covered.Seconds(), sum, 1e-5+1e-9*sum)
			assert.GreaterOrEqual(t, all.Temperature, low-1e-3)
			assert.LessOrEqual(t, all.Temperature, high+1e-3)
		}
		if a != c {
			assert.InDelta(t, c.Sub(a).Seconds(), (all.Covered + s.Missing(a, c)).Seconds(), 1e-6)
		}
	})
}

// week writes rows readings a minute apart.
func big(rows int) []byte {
	var b bytes.Buffer
	b.WriteString("Date Time,Temperature (F),Humidity (%),Dew Point (F)\n")
	start := time.Date(2026, 3, 5, 0, 0, 0, 0, time.UTC)
	for i := range rows {
		fmt.Fprintf(&b, "%s,%.2f,%.1f,%.1f\n", start.Add(time.Duration(i)*time.Minute).Format("01/02/2006 03:04:05 PM"),
			70+10*math.Sin(float64(i)/229), 55+20*math.Cos(float64(i)/229), 52.0)
	}
	return b.Bytes()
}

func TestALargeFile(t *testing.T) {
	s, list, err := airlog.Read(bytes.NewReader(big(100_000)), airlog.Options{Location: zone(t, "America/Chicago")})
	require.NoError(t, err)
	// 100,000 minutes from 5 March pass the change of 8 March; these rows step
	// through the hour that the zone skips.
	require.Equal(t, []string{"summer-time"}, checks(list))
	require.Equal(t, 100_000, s.Len())
	assert.Zero(t, s.Missing(s.Start(), s.End()))
}

func BenchmarkRead100000(b *testing.B) {
	data := big(100_000)
	opt := airlog.Options{Location: zone(b, "America/Chicago")}
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := airlog.Read(bytes.NewReader(data), opt); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkMean(b *testing.B) {
	s, _, err := airlog.Read(bytes.NewReader(big(10_080)), airlog.Options{Location: time.UTC})
	require.NoError(b, err)
	i := 0
	for b.Loop() {
		from := s.Start().Add(time.Duration(i%800) * 12 * time.Minute)
		s.Mean(from, from.Add(12*time.Minute))
		i++
	}
}

func FuzzRead(f *testing.F) {
	f.Add("Time,Temperature (°C),Humidity (%)\n2026-03-05 14:05,21.5,48\n2026-03-05 14:15,22.5,50\n", "C", 0)
	f.Add("Datum;Uhrzeit;Temperatur;Feuchte;Taupunkt\n05.03.2026;14:05:00;21,5 °C;48,0;10,1\nMittelwert;;21,5\n", "", 2)
	f.Add("\"#\",\"Date Time, GMT-04:00\",\"Temp, °F\",\"RH, %\"\n1,\"03/05/26 02:05:00 PM\",70.70,48.00\n", "F", 1)
	f.Add("timestamp,temp,dew point\n1772719500,21,10\n1772719500000,21,10\n", "K", 0)
	f.Add("\xff\xfeT\x00i\x00", "", 0)
	chicago := zone(f, "America/Chicago")
	f.Fuzz(func(t *testing.T, text, unit string, dates int) {
		opt := airlog.Options{Location: chicago, Assume: airlog.Assume{Temperature: unit, Dates: airlog.DateOrder(dates)}}
		s, list, err := airlog.Read(strings.NewReader(text), opt)
		if err != nil || s == nil {
			require.True(t, err != nil || list.HasErrors())
			return
		}
		for i := range s.Len() {
			r := s.Reading(i)
			require.True(t, r.Temperature > 200 && r.Temperature < 400 && r.Humidity >= 0 && r.Humidity <= 1)
			require.True(t, i == 0 || r.Time().After(s.Reading(i-1).Time()))
		}
		m, ok := s.Mean(s.Start(), s.End())
		require.True(t, !ok || m.Humidity >= 0 && m.Humidity <= 1 && !math.IsNaN(m.Temperature))
		require.GreaterOrEqual(t, s.Missing(s.Start(), s.End()), time.Duration(0))
	})
}
