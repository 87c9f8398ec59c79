package prompt

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// read makes items and a state of a line such as "1 3-5 seen".
func (k Pick) read(text string, states []string) (items []int, state string, err error) {
	if i, ok := k.itemNamed(text); ok {
		return []int{i}, k.bare().ID, nil
	}
	if name, rest, ok := strings.Cut(text, "="); ok {
		if i, found := k.itemNamed(strings.TrimSpace(name)); found {
			state, err = k.state(strings.TrimSpace(rest))
			return []int{i}, state, err
		}
		text = name + " " + rest
	}
	if k.Rest != "" && (same(text, "rest") || same(text, k.RestText())) {
		return k.Untouched(states), k.Rest, nil
	}
	if rest, ok := cutFold(text, "rest "); ok {
		state, err = k.state(strings.TrimSpace(rest))
		return k.Untouched(states), state, err
	}
	numbers, rest := splitNumbers(text)
	if numbers == "" {
		return nil, "", unclear(fmt.Sprintf("%q is nothing on the list.", shorten(text)))
	}
	if items, err = k.items(numbers); err != nil {
		return nil, "", err
	}
	state, err = k.state(rest)
	return items, state, err
}

// itemNamed finds an item by its id or full text.
func (k Pick) itemNamed(text string) (int, bool) {
	i := slices.IndexFunc(k.Items, func(c Choice) bool { return same(text, c.ID) || same(text, c.Text) })
	return i, i >= 0
}

// Untouched lists the items nothing was said about yet.
func (k Pick) Untouched(states []string) []int {
	var items []int
	for i, s := range states {
		if s == k.Default {
			items = append(items, i)
		}
	}
	return items
}

// splitNumbers parts the numbers at the start of a line from the words.
func splitNumbers(text string) (numbers, rest string) {
	isNumberPart := func(r rune) bool { return r <= '9' && unicode.IsDigit(r) || strings.ContainsRune(" ,;.-\t", r) }
	n := strings.IndexFunc(text, func(r rune) bool { return !isNumberPart(r) })
	if n < 0 {
		n = len(text)
	}
	if !strings.ContainsFunc(text[:n], unicode.IsDigit) {
		return "", text
	}
	return text[:n], strings.TrimSpace(text[n:])
}

// items reads "1 3, 5-7".
func (k Pick) items(numbers string) ([]int, error) {
	var items []int
	numbers = strings.ReplaceAll(strings.Join(strings.Fields(numbers), " "), " - ", "-")
	isGap := func(r rune) bool { return strings.ContainsRune(" ,;.", r) }
	for _, part := range strings.FieldsFunc(numbers, isGap) {
		from, to, isRange := strings.Cut(part, "-")
		if !isRange {
			to = from
		}
		first, ok1 := k.index(from)
		last, ok2 := k.index(to)
		if !ok1 || !ok2 || first > last {
			return nil, unclear(fmt.Sprintf("%q is no number on the list; they go from 1 to %d.", part, len(k.Items)))
		}
		for i := first; i <= last; i++ {
			items = append(items, i)
		}
	}
	return items, nil
}

func (k Pick) index(text string) (int, bool) {
	if text == "" {
		return 0, false
	}
	n, ok := wholeNumber(text)
	return n - 1, ok && n >= 1 && n <= len(k.Items)
}

// state reads the words for a state; no words mean the bare one.
func (k Pick) state(text string) (string, error) {
	if text == "" {
		return k.bare().ID, nil
	}
	var found []Choice
	for _, s := range k.States {
		if same(text, s.ID) || same(text, s.Text) {
			return s.ID, nil
		}
		if begins(s.Text, text) {
			found = append(found, s)
		}
	}
	if len(found) == 1 {
		return found[0].ID, nil
	}
	var names []string
	for _, s := range k.States {
		names = append(names, fmt.Sprintf("%q", s.Text))
	}
	return "", unclear(fmt.Sprintf("%q is not clear; say one of %s.", shorten(text), strings.Join(names, ", ")))
}
