package redact

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"filmfault/internal/yamldoc"
)

// Lines tells what was done, a line each; leftOut is that of LeftOut.
func (r Result) Lines(leftOut []string) []string {
	var out []string
	if len(r.Taken) > 0 {
		out = append(out, "Left out of the job: "+strings.Join(r.Taken, ", ")+".")
	} else {
		out = append(out, "The job names no customer, address, contact or painter, so that only phone numbers and addresses could be looked for.")
	}
	for _, x := range r.Replaced {
		times := "once"
		if x.Times > 1 {
			times = fmt.Sprintf("%d times", x.Times)
		}
		out = append(out, fmt.Sprintf("%s stands %s now: in %s.", x.Mark, times, strings.Join(x.Places, ", ")))
	}
	if len(r.Cut) > 0 {
		out = append(out, "Paths were cut to the names of the files: in "+strings.Join(r.Cut, ", ")+".")
	}
	out = append(out, "Comments in the file are not copied; they may hold names.")
	if len(leftOut) > 0 {
		out = append(out, "Nor are keys that filmfault does not know: "+strings.Join(leftOut, ", ")+".")
	}
	for _, x := range r.Look {
		out = append(out, "Look at: "+x+".")
	}
	return append(out, "Read the copy before you hand it on: a name that stands in none of the job's lines is not found.")
}

// LeftOut lists the keys of a case file, from the top down, that its copy does
// not have, but for those that hold nothing and those that Result tells of.
func LeftOut(before, after []byte) []string {
	old, diags := yamldoc.Parse("before", before, yamldoc.DefaultLimits())
	now, more := yamldoc.Parse("after", after, yamldoc.DefaultLimits())
	if diags.HasErrors() || more.HasErrors() {
		return nil
	}
	var out []string
	missing("", old.Plain(), now.Plain(), &out)
	out = slices.DeleteFunc(out, func(path string) bool {
		return strings.HasSuffix(path, ".asked") || slices.Contains([]string{"job.customer", "job.address", "job.contact", "job.painter"}, path)
	})
	sort.Strings(out)
	return slices.Compact(out)
}

func missing(path string, old, now any, out *[]string) {
	switch old := old.(type) {
	case map[string]any:
		there, _ := now.(map[string]any)
		for key, v := range old {
			below := strings.TrimPrefix(path+"."+key, ".")
			if found, ok := there[key]; ok || below == "job" {
				missing(below, v, found, out)
			} else if holds(v) {
				*out = append(*out, below)
			}
		}
	case []any:
		there, _ := now.([]any)
		for i, v := range old {
			if i < len(there) {
				missing(path, v, there[i], out)
			}
		}
	}
}

// holds reports whether a value says anything.
func holds(v any) bool {
	switch v := v.(type) {
	case nil:
		return false
	case string:
		return v != "" && !slices.Contains([]string{"no", "false"}, strings.ToLower(v))
	case map[string]any:
		return len(v) > 0
	case []any:
		return len(v) > 0
	}
	return true
}
