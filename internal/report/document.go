// Package report gathers what an evaluation says into one document: plain data
// that every format is rendered from, so that the terminal, Markdown and JSON
// cannot disagree. Its JSON names are fixed and versioned; others rely on them.
//
// It decides what is told and in which words, never what is true: the numbers
// are those of package diagnosis. Package render lays documents out.
package report

import (
	"encoding/json"
	"math"
	"strconv"
)

// Schema is the version of the document's JSON.
const Schema = 1

// Document is the diagnosis of one case. Fields marked "-" are for readers and
// not part of the JSON.
type Document struct {
	Schema       int            `json:"schema"`
	Case         string         `json:"case"`
	Rules        Rules          `json:"rules"`
	Failures     []FailureState `json:"failures"`
	Ranking      []Cause        `json:"ranking"`
	Unlisted     []Unlisted     `json:"unlisted"`
	Stories      []Story        `json:"stories"`
	PreventedBy  [][]string     `json:"prevented_by"`
	Next         []Question     `json:"next"`
	Calculations []Calculation  `json:"calculations"`
	Conflicts    []Conflict     `json:"conflicts"`
	Cautions     []string       `json:"cautions"`

	Common    []Common `json:"-"`
	Known     []string `json:"-"` // facts of the job, in words
	Title     string   `json:"-"`
	Invented  bool     `json:"-"`
	Advice    []Advice `json:"-"`
	Warnings  []string `json:"-"` // the cautions of all that the page proposes, one sentence each
	Skipped   []string `json:"-"` // findings answered that are no evidence here, in words
	Overturns []string `json:"-"` // in words
	SavedAt   string   `json:"-"`
	Why       string   `json:"-"` // why the interview stopped
	Log       *FromLog `json:"-"` // what the job log implies
}

// Rules names the rules a result rests on.
type Rules struct {
	Digest string   `json:"digest"`
	Layers []string `json:"layers"`
}

// FailureState is a failure and whether it was seen or looked for and absent.
type FailureState struct {
	Failure string `json:"failure"`
	State   string `json:"state"`
	Title   string `json:"-"`
}

// Cause is one cause of the ranking. Low and High are the range that the
// uncertainty of calculations gives; null when no calculation entered.
type Cause struct {
	Cause       string         `json:"cause"`
	Title       string         `json:"title"`
	Trees       []string       `json:"trees"`
	Role        string         `json:"role"`
	Contributed Number         `json:"contributed"`
	Present     Number         `json:"present"`
	Low         *Number        `json:"low"`
	High        *Number        `json:"high"`
	Weights     []Weight       `json:"weights"`
	Confirm     []Confirmation `json:"confirm"`
	Repair      string         `json:"repair"`
	Prevent     string         `json:"prevent"`
	Caution     []string       `json:"caution"`

	Mechanism string `json:"-"`
}

// Weight is how far one answer pulled a cause.
type Weight struct {
	Finding string `json:"finding"`
	Answer  string `json:"answer"`
	LogOdds Number `json:"log_odds"`
	Factor  Number `json:"factor"`

	Text string `json:"-"` // what was asked, in the words of its id, and what was answered
}

// Confirmation is a measurement that would confirm a cause: IfMet and IfNot are
// the probability that the cause contributed on either side of the figure that
// decides. Both are null once the measurement has been taken.
type Confirmation struct {
	Measurement string  `json:"measurement"`
	Method      string  `json:"method"`
	Decides     string  `json:"decides"`
	Minutes     Number  `json:"minutes"`
	Damage      string  `json:"damage"`
	IfMet       *Number `json:"if_met"`
	IfNot       *Number `json:"if_not"`

	Title string `json:"-"`
	Taken string `json:"-"` // the reading, when it has been taken
	// Forbidden is set when it does damage and there is no leave for that.
	Forbidden bool `json:"-"`
	For       int  `json:"-"` // place of the cause, where the page proposes it
}

// Common is what several of the first causes have in common: Places are their
// places in the ranking.
type Common struct {
	Title       string
	Contributed Number
	Places      []int
}

// Unlisted is something the rules do not list.
type Unlisted struct {
	Failure     string `json:"failure"`
	Contributed Number `json:"contributed"`

	Title string `json:"-"`
}

// Story is what acted together.
type Story struct {
	Causes      []string `json:"causes"`
	Conditions  []string `json:"conditions"`
	Probability Number   `json:"probability"`

	Text string `json:"-"`
}

// Question is an open question by worth: bits about the leading causes.
type Question struct {
	Finding       string `json:"finding"`
	Worth         Number `json:"worth"`
	Minutes       Number `json:"minutes"`
	ChangesLeader Number `json:"changes_leader"`

	Text string `json:"-"`
}

// Calculation is a computed figure that entered the ranking, in SI.
type Calculation struct {
	Name    string   `json:"name"`
	Value   Figure   `json:"value"`
	Unit    string   `json:"unit"`
	Low     Figure   `json:"low"`
	High    Figure   `json:"high"`
	Assumed []string `json:"assumed"`
	Source  string   `json:"source,omitempty"` // of the formula

	Text string `json:"-"` // value and range in the units asked for
}

// Conflict is an answer that speaks strongly against the leading cause.
type Conflict struct {
	Finding string `json:"finding"`
	Answer  string `json:"answer"`
	Against string `json:"against"`
	Factor  Number `json:"factor"`

	Text string `json:"-"`
}

// Advice is what to do now about one failure seen.
type Advice struct{ Failure, MakeSafe, Temporary, Never string }

// Number is printed with four digits after the point at most: more would be
// noise, and noise would make the same case print other bytes elsewhere.
type Number float64

// MarshalJSON prints the number; infinities and NaN, which JSON lacks, as null.
func (n Number) MarshalJSON() ([]byte, error) {
	if math.IsNaN(float64(n)) || math.IsInf(float64(n), 0) {
		return []byte("null"), nil
	}
	return json.RawMessage(strconv.FormatFloat(math.Round(float64(n)*1e4)/1e4+0, 'f', -1, 64)), nil
}

// Figure is a figure of any size in SI, printed with four significant digits: a
// film in m would vanish behind four digits after the point.
type Figure float64

// MarshalJSON prints the figure; infinities and NaN, which JSON lacks, as null.
func (f Figure) MarshalJSON() ([]byte, error) {
	if math.IsNaN(float64(f)) || math.IsInf(float64(f), 0) {
		return []byte("null"), nil
	}
	return json.RawMessage(strconv.FormatFloat(significant(float64(f)), 'g', -1, 64)), nil
}

// significant rounds to four significant digits.
func significant(x float64) float64 {
	v, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 3, 64), 64)
	if err != nil || v == 0 {
		return 0
	}
	return v
}

// The words for how likely a cause is, with their bounds.
const (
	likelyFrom   = 0.50
	possibleFrom = 0.15
	openFrom     = 0.02
)

// Likely is the word for a cause that holds more likely than not.
const Likely = "likely"

// Word says how likely in a word; Bounds explains the words.
func Word(p Number) string {
	p = Number(math.Round(float64(p)*100) / 100) // as Percent prints it
	switch {
	case p >= likelyFrom:
		return Likely
	case p >= possibleFrom:
		return "possible"
	case p >= openFrom:
		return "cannot be ruled out"
	}
	return "unlikely"
}

// Bounds explains the words of Word in one line.
const Bounds = "likely: 50 % or more; possible: 15 to 50 %; cannot be ruled out: 2 to 15 %"

// Percent is a probability in whole percents, without pretending to be 0 or
// 100.
func Percent(p Number) string {
	switch r := math.Round(float64(p) * 100); {
	case r < 1:
		return "under 1 %"
	case r > 99:
		return "over 99 %"
	default:
		return strconv.Itoa(int(r)) + " %"
	}
}

// Factor says a pull in words: "3.2 times likelier", "half as likely".
func Factor(f float64) string {
	switch {
	case f >= 1.05:
		return times(f) + " times likelier"
	case f <= 1/1.05:
		return times(1/f) + " times less likely"
	}
	return "no different"
}

func times(f float64) string {
	if f >= 10 {
		return strconv.Itoa(int(math.Round(f)))
	}
	return strconv.FormatFloat(math.Round(f*10)/10, 'f', -1, 64)
}
