package quantity

// Textual is what every *Opt offers, whatever its quantity, for code that walks
// over fields: its text and its number in the stored unit.
type Textual interface {
	Known() bool
	SI() float64
	Unit() string
	ExactText() string
	SetText(string) error
	SetSI(float64)
	Clear()
	Dimension() *Dimension
}

// SI is the number in the stored unit. An absent one panics, as in Value: look
// at Known first.
func (o Opt[Q]) SI() float64 { return float64(o.Value()) }

// Unit is the unit of SI, known or not.
func (o Opt[Q]) Unit() string { return o.Dimension().unit }

// Dimension is how the quantity is written, known or not.
func (o Opt[Q]) Dimension() *Dimension { return Q(0).Dimension() }

// ExactText is the exact text, or "" where the quantity is absent.
func (o Opt[Q]) ExactText() string {
	if !o.Known() {
		return ""
	}
	return Exact(o.number())
}

// String is ExactText, or "-" where the quantity is absent.
func (o Opt[Q]) String() string {
	if !o.Known() {
		return "-"
	}
	return Exact(o.number())
}

// IsZero reports that the quantity is absent, so that encoders may leave it out;
// a quantity of 0 is there.
func (o Opt[Q]) IsZero() bool { return !o.Known() }

// SetText sets the quantity from its text; on an error, of type *ParseError, it
// keeps what it had. An empty text is an error.
func (o *Opt[Q]) SetText(text string) error {
	v, err := Parse[Q](text)
	if err != nil {
		return err
	}
	*o = Some(v)
	return nil
}

// SetSI sets the quantity from a number in the stored unit. What is not finite
// is not a figure: it clears the quantity, so that it counts as missing.
func (o *Opt[Q]) SetSI(v float64) {
	if !isFinite(v) {
		o.Clear()
		return
	}
	*o = Some(Q(v))
}

// Clear makes the quantity absent.
func (o *Opt[Q]) Clear() { *o = None[Q]() }

// UnmarshalText is SetText for decoders.
func (o *Opt[Q]) UnmarshalText(text []byte) error { return o.SetText(string(text)) }

// MarshalText is the exact text. An absent quantity has none, which is an error:
// leave the field out (omitzero).
func (o Opt[Q]) MarshalText() ([]byte, error) {
	if !o.Known() {
		return nil, errAbsent
	}
	if !isFinite(float64(o.number())) {
		return nil, errNotFinite
	}
	return []byte(Exact(o.number())), nil
}
