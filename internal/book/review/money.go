package review

import (
	"cmp"
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// Cents is an amount of money in hundredths.
type Cents int64

// MarshalJSON prints the amount in whole units, with its hundredths if it has
// any.
func (c Cents) MarshalJSON() ([]byte, error) {
	return json.RawMessage(strconv.FormatFloat(float64(c)/100, 'f', -1, 64)), nil
}

// Amount is money of one currency. Currency is as it was typed, a sign or a code;
// it is "" where none was typed.
type Amount struct {
	Currency string `json:"currency"`
	Amount   Cents  `json:"amount"`
}

// String gives "$1,234.50", "1,234.50 CAD" or "1,234.50"; round sums have no
// hundredths.
func (a Amount) String() string {
	whole, rest := a.Amount/100, a.Amount%100
	out := thousands(strconv.FormatInt(int64(whole), 10))
	if rest != 0 {
		out += fmt.Sprintf(".%02d", rest)
	}
	switch {
	case a.Currency == "":
		return out
	case isCode(a.Currency):
		return out + " " + a.Currency
	}
	return a.Currency + out
}

func thousands(digits string) string {
	for i := len(digits) - 3; i > 0; i -= 3 {
		digits = digits[:i] + "," + digits[i:]
	}
	return digits
}

// figure is a number as people write money: 1250, 1,250, 1,250.50, 1250.5,
// 1.250,50 or 180,50.
var (
	plainFigure = regexp.MustCompile(`^(\d{1,12})(?:[.,](\d{1,2}))?$`)
	commaFigure = regexp.MustCompile(`^(\d{1,3}(?:,\d{3}){1,3})(?:\.(\d{1,2}))?$`)
	pointFigure = regexp.MustCompile(`^(\d{1,3}(?:\.\d{3}){1,3}),(\d{1,2})$`)
	blankFigure = regexp.MustCompile(`^(\d{1,3}(?: \d{3}){1,3})(?:[.,](\d{1,2}))?$`)
)

// ParseMoney reads "180", "$180", "180 USD", "1,250.50 EUR". The error says in a
// few words what is wrong with it.
func ParseMoney(text string) (Amount, error) {
	before, figure, after := parts(text)
	if figure == "" {
		return Amount{}, fmt.Errorf("%q has no figure", text)
	}
	if strings.Contains(before, "-") || strings.Contains(after, "-") {
		return Amount{}, fmt.Errorf("%q is below nothing, or a range", text)
	}
	cents, ok := centsOf(figure)
	if !ok {
		return Amount{}, fmt.Errorf("%q is not written as money is", text)
	}
	sign := before
	switch {
	case before == "":
		sign = after
	case after != "":
		// "US$ 180" and "180 USD", but also "$180 USD".
		if of, ok := codeOfSign(before); !ok || of != strings.ToUpper(after) {
			return Amount{}, fmt.Errorf("%q has two currencies", text)
		}
		sign = after
	}
	currency, ok := currencyOf(sign)
	if !ok {
		return Amount{}, fmt.Errorf("%q is in no currency that is known", text)
	}
	return Amount{currency, cents}, nil
}

// parts cuts what was typed at the first and after the last digit.
func parts(text string) (before, figure, after string) {
	text = strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return ' '
		}
		return r
	}, text)
	first, last := strings.IndexAny(text, "0123456789"), strings.LastIndexAny(text, "0123456789")
	if first < 0 {
		return text, "", ""
	}
	return strings.TrimSpace(text[:first]), text[first : last+1], strings.TrimSpace(text[last+1:])
}

func centsOf(figure string) (Cents, bool) {
	for _, form := range []*regexp.Regexp{plainFigure, commaFigure, pointFigure, blankFigure} {
		m := form.FindStringSubmatch(figure)
		if m == nil {
			continue
		}
		whole, err := strconv.ParseInt(strings.NewReplacer(",", "", ".", "", " ", "").Replace(m[1]), 10, 64)
		if err != nil {
			return 0, false
		}
		rest, err := strconv.ParseInt((m[2] + "00")[:2], 10, 64)
		return Cents(whole*100 + rest), err == nil
	}
	return 0, false
}

// currencyOf reads a sign or a code; nothing typed is a currency of its own.
func currencyOf(sign string) (string, bool) {
	if sign == "" || slices.Contains(signs(), sign) {
		return sign, true
	}
	if code := strings.ToUpper(sign); isCode(code) {
		return code, true
	}
	return "", false
}

func signs() []string {
	return []string{"$", "€", "£", "¥", "₹", "₩", "₺", "₽", "₴", "₪", "₫", "₱", "₦", "US$", "A$", "C$", "NZ$", "R$"}
}

// codeOfSign is the code that a sign stands for where a book uses both.
func codeOfSign(sign string) (string, bool) {
	code, ok := map[string]string{
		"$": "USD", "US$": "USD", "€": "EUR", "£": "GBP", "¥": "JPY", "₹": "INR", "₩": "KRW", "₺": "TRY", "₽": "RUB", "₴": "UAH",
		"₪": "ILS", "₫": "VND", "₱": "PHP", "₦": "NGN", "A$": "AUD", "C$": "CAD", "NZ$": "NZD", "R$": "BRL",
	}[sign]
	return code, ok
}

// currencies says in which currency each amount of a book is counted. A sign and
// its code are one where both are used; an amount without either is in the only
// other currency of the book, if there is just one.
type currencies struct {
	as     map[string]string
	main   string // the one with most cost lines: tables go by it
	unsaid int    // amounts without a currency that were taken for the only other
}

// currenciesOf goes by the whole book, so that a filter cannot change what an
// amount is in; most lines are those of the cases kept.
func currenciesOf(all, kept []Record) currencies {
	lines := costLines(all)
	c := currencies{as: map[string]string{}}
	for cur := range lines {
		c.as[cur] = cur
		if code, ok := codeOfSign(cur); ok && lines[code] > 0 {
			c.as[cur] = code
		}
	}
	if other, ok := c.only(); ok && lines[""] > 0 {
		c.as[""], c.unsaid = other, lines[""]
	}
	count := map[string]int{}
	for cur, n := range costLines(kept) {
		count[c.as[cur]] += n
	}
	for _, cur := range sorted(count) {
		if n := count[cur]; n > count[c.main] || n == count[c.main] && c.main == "" {
			c.main = cur
		}
	}
	return c
}

func costLines(records []Record) map[string]int {
	lines := map[string]int{}
	for _, r := range records {
		for _, a := range r.Costs {
			lines[a.Currency]++
		}
	}
	return lines
}

// only is the currency of the book if there is one beside what has none.
func (c currencies) only() (string, bool) {
	found := map[string]int{}
	for cur, as := range c.as {
		if cur != "" {
			found[as]++
		}
	}
	if len(found) != 1 {
		return "", false
	}
	return sorted(found)[0], true
}

func sorted[K cmp.Ordered, V any](m map[K]V) []K {
	out := make([]K, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// purse is money by currency.
type purse map[string]Cents

// of adds up what a case cost.
func (c currencies) of(r Record) purse {
	p := purse{}
	for _, a := range r.Costs {
		p[c.in(a.Currency)] += a.Amount
	}
	return p
}

func (p purse) add(q purse) {
	for cur, c := range q {
		p[cur] += c
	}
}

// part is the i-th of n parts of it; the odd hundredths go to the first.
func (p purse) part(i, n int) purse {
	out := purse{}
	for cur, c := range p {
		out[cur] = c / Cents(n)
		if Cents(i) < c%Cents(n) {
			out[cur]++
		}
	}
	return out
}

// in is what an amount of a currency is counted in.
func (c currencies) in(currency string) string {
	if as, ok := c.as[currency]; ok {
		return as
	}
	return currency
}

// Money tells what cases cost as a review of their book does. Invented cases are
// counted apart, since a review leaves them out.
type Money struct{ own, invented currencies }

// MoneyOf goes by the costs of the whole book; kept are the cases that are shown.
func MoneyOf(all, kept []Record) Money {
	pick := func(list []Record, invented bool) []Record {
		return slices.DeleteFunc(slices.Clone(list), func(r Record) bool { return r.Invented != invented })
	}
	own := pick(kept, false)
	m := Money{currenciesOf(pick(all, false), own), currenciesOf(pick(all, true), pick(kept, true))}
	if len(costLines(own)) == 0 {
		m.own.main = m.invented.main
	}
	return m
}

// Costs is what a case cost, by currency, that of most lines first.
func (m Money) Costs(r Record) []Amount {
	c := m.own
	if r.Invented {
		c = m.invented
	}
	return c.of(r).list(c)
}

// Dearer orders cases by what they cost, the dearest first, a currency at a time:
// that of most lines, then the others by name, then amounts of none. Cases without
// costs come last. A case of several currencies goes by the first of them.
func (m Money) Dearer(a, b []Amount) int {
	if len(a) == 0 || len(b) == 0 {
		return cmp.Compare(min(1, len(b)), min(1, len(a)))
	}
	rank := func(currency string) int { return slices.Index([]string{m.own.main, currency}, currency) }
	x, y := m.leading(a), m.leading(b)
	return cmp.Or(cmp.Compare(rank(x.Currency), rank(y.Currency)), namedFirst(x.Currency, y.Currency), cmp.Compare(y.Amount, x.Amount))
}

// leading is the amount that a case is put in order by.
func (m Money) leading(list []Amount) Amount {
	first := list[0]
	for _, a := range list[1:] {
		if a.Currency == m.own.main {
			return a
		}
		if first.Currency != m.own.main && namedFirst(a.Currency, first.Currency) < 0 {
			first = a
		}
	}
	return first
}

// namedFirst orders currencies by name, none after all others.
func namedFirst(a, b string) int {
	if (a == "") != (b == "") {
		return cmp.Compare(b, a)
	}
	return cmp.Compare(a, b)
}

// list writes it by currency, that of most lines first.
func (p purse) list(c currencies) []Amount {
	out := []Amount{}
	for _, cur := range sorted(p) {
		if a := (Amount{cur, p[cur]}); cur == c.main {
			out = slices.Insert(out, 0, a)
		} else {
			out = append(out, a)
		}
	}
	return out
}
