package airlog

import (
	"slices"
	"strings"
	"unicode"
)

// role is what a column holds.
type role int

const (
	none role = iota
	dateOnly
	timeOnly
	dateAndTime
	temperature
	humidity
	dewPoint
	unitOf // the unit of the column before it
)

// heading is what a header cell says.
type heading struct {
	text string
	role role
	// unit is "C", "F", "K" or "%", or "" when the cell does not say.
	unit string
}

// readHeading reads a header cell, in English, German, French, Spanish,
// Italian, Portuguese or Dutch.
func readHeading(cell string) heading {
	words := fold(cell)
	h := heading{text: cell, role: roleOf(words)}
	switch h.role {
	case temperature, dewPoint, unitOf:
		h.unit = degreesOf(words)
	case humidity:
		if strings.Contains(cell, "%") || has(words, "percent", "pct", "prozent", "pourcent") {
			h.unit = "%"
		}
	}
	return h
}

// roleOf finds what the words of a header mean.
func roleOf(words []string) role {
	if len(words) == 0 || hasStem(words, unwanted()...) {
		return none
	}
	if has(words, "unit", "units", "einheit", "unite", "unidad", "unita", "eenheid") && degreesOf(words) == "" {
		return unitOf
	}
	of := airRole(words)
	switch {
	case of == none:
		return clockRole(words)
	case has(words, unwantedWords()...):
		return none
	}
	return of
}

// airRole finds what a header says about the air.
func airRole(words []string) role {
	switch {
	case hasStem(words, "dewpoint", "taupunkt", "rosee", "rocio", "rugiada", "orvalho", "dauwpunt") || has(words, "dew", "dp", "tau"):
		return dewPoint
	case hasStem(words, "humid", "humed", "umidi", "umida", "feucht", "vocht") || has(words, "rh", "hum", "rf") ||
		has(words, "hr") && !has(words, "time"):
		return humidity
	case hasStem(words, "temperatu", "celsius", "fahrenheit") || has(words, "temp", "tmp", "tmpr", "degc", "degf") ||
		has(words, "t", "ta", "tair", "c", "f") && degreesOf(words) != "":
		return temperature
	}
	return none
}

// unwanted lists stems of headers that hold a word of ours and mean another
// thing: other temperatures, other humidities, limits and statistics.
func unwanted() []string {
	return []string{"absol", "kugel", "bulb", "humidex", "vapo", "dampf", "pressure", "druck", "alarm", "elaps", "zone", "duration",
		"setpoint", "mixing", "battery", "enthalp"}
}

// unwantedWords are those of which only the whole word counts, and not in the
// name of a time ("every 1 min").
func unwantedWords() []string {
	return []string{"min", "max", "minimum", "maximum", "limit", "index", "g", "vpd", "wet", "feels", "specific", "ratio",
		"low", "high", "surface", "set"}
}

// clockRole finds what a header says about the time.
func clockRole(words []string) role {
	day := has(words, "date", "datum", "fecha", "data", "jour", "dia", "day", "tag")
	clock := has(words, "time", "zeit", "uhrzeit", "heure", "hora", "ora", "tijd", "temps", "tiempo", "tempo", "uhr", "clock")
	both := has(words, "datetime", "timestamp", "zeitstempel", "horodatage", "horodate", "messzeit", "zeitpunkt",
		"messzeitpunkt", "datumuhrzeit", "fechahora", "tijdstip", "recorded")
	switch {
	case both || day && clock:
		return dateAndTime
	case day:
		return dateOnly
	case clock:
		return timeOnly
	}
	return none
}

// degreesOf finds the temperature unit among words: "C", "F", "K" or "".
func degreesOf(words []string) string {
	switch {
	case has(words, "f", "fahrenheit", "degf", "degreesf"):
		return "F"
	case has(words, "c", "celsius", "degc", "degreesc", "centigrade", "oc"):
		return "C"
	case has(words, "k", "kelvin"):
		return "K"
	}
	return ""
}

// has says that one of some words is there.
func has(words []string, wanted ...string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(wanted, w) })
}

// hasStem says that a word holds one of some stems.
func hasStem(words []string, stems ...string) bool {
	return slices.ContainsFunc(words, func(w string) bool {
		return slices.ContainsFunc(stems, func(s string) bool { return strings.Contains(w, s) })
	})
}

// fold cuts a header into lower-case words without accents: "Temp_C" and
// "AirTempC (°C)" part at the changes of case, too. "dew point" and "r.h." come
// as one word.
func fold(text string) []string {
	var words []string
	var word []rune
	end := func() {
		if len(word) > 0 {
			words = append(words, strings.ToLower(string(word)))
		}
		word = word[:0]
	}
	for _, r := range text {
		r = plain(r)
		switch {
		case r == '℃' || r == '℉':
			end()
			words = append(words, map[rune]string{'℃': "c", '℉': "f"}[r])
		case !unicode.IsLetter(r):
			end()
		default:
			if unicode.IsUpper(r) && len(word) > 2 && unicode.IsLower(word[len(word)-1]) {
				end()
			}
			word = append(word, r)
		}
	}
	end()
	return joined(words)
}

// joined puts together the words of one name that people write apart.
func joined(words []string) []string {
	for i := 0; i+1 < len(words); i++ {
		pair := words[i] + words[i+1]
		switch pair {
		case "dewpoint", "rh", "datetime", "timestamp":
			words = slices.Replace(words, i, i+2, pair)
		}
	}
	return words
}

// plain is a letter without its accent, for those of western Europe.
func plain(r rune) rune {
	const from, to = "àáâãäåçèéêëìíîïñòóôõöùúûüýÀÁÂÃÄÅÇÈÉÊËÌÍÎÏÑÒÓÔÕÖÙÚÛÜÝ", "aaaaaaceeeeiiiinooooouuuuyAAAAAACEEEEIIIINOOOOOUUUUY"
	if r < 0x80 {
		return r
	}
	i := 0
	for _, f := range from {
		if f == r {
			return rune(to[i])
		}
		i++
	}
	return r
}
