package cli

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"filmfault/internal/physics/sunheat"
	"filmfault/internal/quantity"
	"filmfault/internal/uncertain"
)

// compass is where a face looks.
type compass struct {
	degrees float64 // from north through east, 0 to 360
	words   string  // "west" or "245 degrees"
}

// winds lists the sixteen points of the compass from north through east, short
// and in words.
func winds() [][2]string {
	return [][2]string{
		{"n", "north"}, {"nne", "north-north-east"}, {"ne", "north-east"}, {"ene", "east-north-east"},
		{"e", "east"}, {"ese", "east-south-east"}, {"se", "south-east"}, {"sse", "south-south-east"},
		{"s", "south"}, {"ssw", "south-south-west"}, {"sw", "south-west"}, {"wsw", "west-south-west"},
		{"w", "west"}, {"wnw", "west-north-west"}, {"nw", "north-west"}, {"nnw", "north-north-west"},
	}
}

// readFacing reads a point of the compass or degrees from north through east.
func readFacing(s string) (compass, error) {
	word := strings.NewReplacer(" ", "", "-", "", "_", "").Replace(strings.ToLower(strings.TrimSpace(s)))
	var known []string
	for i, w := range winds() {
		if word == w[0] || word == strings.ReplaceAll(w[1], "-", "") {
			return compass{float64(i) * 22.5, w[1]}, nil
		}
		if len(w[0]) < 3 {
			known = append(known, w[1])
		}
	}
	const write = "write n, ne, e, se, s, sw, w or nw, or degrees from north by east such as 245"
	a, ok := readAngle(s)
	switch {
	case !ok:
		return compass{}, errors.New("it is no direction" + nearest(s, known, write))
	case a.letter != "" || a.degrees < 0 || a.degrees > 360:
		return compass{}, errors.New("directions run from 0 to 360 degrees; " + write)
	}
	return compass{a.degrees, strconv.FormatFloat(a.degrees, 'f', -1, 64) + " degrees"}, nil
}

// readTilt reads how far a face is turned down from looking up, in degrees.
func readTilt(s string) (float64, error) {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "upright", "vertical":
		return 90, nil
	case "level", "flat", "horizontal":
		return 0, nil
	}
	a, ok := readAngle(s)
	if !ok || a.letter != "" || a.degrees < 0 || a.degrees > 180 {
		return 0, errors.New("it is no tilt; write upright, level, or degrees from 0 (looks up) over 90 (upright) to 180 (looks down)")
	}
	return a.degrees, nil
}

// angle is an angle as typed.
type angle struct {
	degrees float64 // with the sign typed
	signed  bool
	letter  string // "N", "S", "E", "W" or ""
}

var angleForm = regexp.MustCompile(`(?i)^([+-])?([0-9]{1,6}(?:\.[0-9]{1,9})?|\.[0-9]{1,9})\s*(?:°|deg\.?|degrees?)?\s*([NSEW])?$`)

// readAngle reads "40", "40.7 N", "-75" or "75 deg W".
func readAngle(s string) (angle, bool) {
	m := angleForm.FindStringSubmatch(strings.ReplaceAll(strings.TrimSpace(s), "\u2212", "-"))
	if m == nil {
		return angle{}, false
	}
	v, err := strconv.ParseFloat(m[2], 64)
	if m[1] == "-" {
		v = -v
	}
	return angle{v, m[1] != "", strings.ToUpper(m[3])}, err == nil
}

// readLatitude reads degrees of latitude, north positive.
func readLatitude(s string) (float64, error) {
	a, ok := readAngle(s)
	v := a.degrees
	switch {
	case !ok || a.letter != "" && a.signed || a.letter == "E" || a.letter == "W":
		return 0, errors.New("it is no latitude; write degrees such as 40 N or 33.9 S")
	case a.letter == "S":
		v = -v
	}
	if v < -90 || v > 90 {
		return 0, errors.New("latitudes run from 90 S to 90 N; write degrees such as 40 N or 33.9 S")
	}
	return v, nil
}

// readLongitude reads degrees of longitude, east positive. Which side it is on
// must be said: many leave the minus of the west out.
func readLongitude(s string) (float64, error) {
	a, ok := readAngle(s)
	v := a.degrees
	switch {
	case !ok || a.letter != "" && a.signed || a.letter == "N" || a.letter == "S":
		return 0, errors.New("it is no longitude; write degrees such as 75 W or 13.4 E")
	case a.letter == "W":
		v = -v
	}
	switch {
	case v < -180 || v > 180:
		return 0, errors.New("longitudes run from 180 W to 180 E; write degrees such as 75 W or 13.4 E")
	case a.letter == "" && !a.signed && v != 0:
		return 0, fmt.Errorf("east or west? Write %g E or %g W", v, v)
	}
	return v, nil
}

// painted gives the face, and puts what it rests on on the page.
func (o *sunOptions) painted(p *sunPage) (sunheat.Face, error) {
	f := sunheat.Face{Emissivity: sunheat.Emissivity()}
	f.Facing.Tilt = 90 * sunheat.Degree
	switch {
	case o.flags["absorptance"].given:
		if o.colour.value != "" {
			return f, usagef("state --colour or --absorptance, not both: a measured absorptance stands for the colour")
		}
		by, _, err := read(o.flags, "absorptance")
		if err != nil {
			return f, err
		}
		f.Absorptance = by["absorptance"]
	case o.colour.value != "":
		f.Absorptance = sunheat.Absorptance(sunheat.Colour(slices.Index(sunColours(), o.colour.value)))
	default:
		return f, usagef("--colour is missing; for example --colour dark, or --absorptance \"92 %%\" if it was measured")
	}
	tilt := uncertain.Input{ID: "tilt", Low: 90, High: 90, Unit: "degrees from level", Assumed: true, Source: "signs mostly stand upright"}
	if o.tilt.given {
		tilt = uncertain.Exact("tilt", o.tilt.value, "degrees from level", "stated")
		f.Facing.Tilt = o.tilt.value * sunheat.Degree
	}
	p.inputs = append(p.inputs, input{f.Absorptance, quantity.Share}, input{f.Emissivity, quantity.Share}, input{tilt, quantity.Number})
	if !o.facing.given {
		if tilt.Low != 0 {
			return f, usagef("--facing is missing: where does the face look? For example --facing w")
		}
		return f, nil
	}
	f.Facing.Azimuth = o.facing.value.degrees * sunheat.Degree
	p.inputs = append(p.inputs, input{uncertain.Exact("facing", o.facing.value.degrees, "degrees from north by east", "stated"), quantity.Number})
	return f, nil
}
