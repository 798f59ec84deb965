package sheet

import "example.org/pinhoist/internal/design"

// Sides are the numbers of a check as text: what is demanded, what is guaranteed
// and what the policy allows of it ("" where nothing is guaranteed). They are
// rounded away from safety, with as many digits as it takes that they agree with
// the verdict.
func Sides(c *design.Check) (stress, rating, allowed string) {
	s := sidesOf(c)
	return s.stress, s.rating, s.allowed
}

// Amount is a cost without its currency, rounded up to the hundredth; a dash
// where it is unknown.
func Amount(n design.Number) string { return amount(n) }

// Heat is a power in two digits, rounded up; a dash where it is unknown.
func Heat(n design.Number) string { return heat(n) }
