package quantity

import (
	"errors"
	"math"
	"strconv"
)

var (
	errAbsent    = errors.New("quantity: an absent figure has no text")
	errNotFinite = errors.New("quantity: a figure that is not finite has no text")
)

const moneyExpected = "an amount of money, such as 0.38 EUR"

// ParseMoney reads an amount and its currency, "0.38 EUR": a number of at least
// 0 and three capital letters as in ISO 4217. Errors are of type *ParseError.
func ParseMoney(text string) (Money, error) {
	fail := func(hint string) (Money, error) {
		found := text
		if len(found) > 40 {
			found = found[:40]
		}
		return Money{}, &ParseError{Found: found, Expected: moneyExpected, Hint: hint}
	}
	if len(text) > maxText {
		return fail("the text is too long")
	}
	n, currency, hint := splitNumber(tidy(text))
	switch {
	case hint != "":
		return fail(hint)
	case !isCurrency(currency):
		return fail("a currency is three capital letters behind the number")
	case n.neg:
		return fail("a price is not negative")
	}
	v := n.scaled(scale{0, 1, 1})
	if math.IsInf(v, 0) {
		return fail("the number is too large")
	}
	if v == 0 && !n.isZero() {
		return fail("the number is too small to be told from zero")
	}
	return Money{Amount: v, Currency: currency}, nil
}

func isCurrency(s string) bool {
	if len(s) != 3 {
		return false
	}
	for i := range len(s) {
		if s[i] < 'A' || s[i] > 'Z' {
			return false
		}
	}
	return true
}

// Known reports whether there is an amount at all.
func (m Money) Known() bool { return m.Currency != "" }

// IsZero reports that there is no amount, so that encoders may leave it out; a
// price of 0 is there.
func (m Money) IsZero() bool { return !m.Known() }

// String is the exact text, from which ParseMoney gives back the same bits; "-"
// where there is no amount.
func (m Money) String() string {
	if !m.Known() {
		return "-"
	}
	return plainNumber(m.Amount) + " " + m.Currency
}

// Display is the text for people: to the hundredth, or to three significant
// digits where that is finer.
func (m Money) Display() string {
	switch {
	case !m.Known():
		return "-"
	case !isFinite(m.Amount):
		return notFinite
	case m.Amount != 0 && m.Amount < 0.1:
		return DisplayPlain(m.Amount, 3, Nearest) + " " + m.Currency
	}
	return strconv.FormatFloat(m.Amount, 'f', 2, 64) + " " + m.Currency
}

// MarshalText is the exact text; no amount is an error, as for Opt.
func (m Money) MarshalText() ([]byte, error) {
	if !m.Known() {
		return nil, errAbsent
	}
	if !isFinite(m.Amount) {
		return nil, errNotFinite
	}
	return []byte(m.String()), nil
}

// UnmarshalText reads the text of ParseMoney.
func (m *Money) UnmarshalText(text []byte) error {
	v, err := ParseMoney(string(text))
	if err != nil {
		return err
	}
	*m = v
	return nil
}
