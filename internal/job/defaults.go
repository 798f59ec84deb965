package job

import q "example.org/pinhoist/internal/quantity"

// defaults holds what stands where a job is silent, in the form of a job with one
// rail and one load. These are conventions and count as given; figures that
// depend on the kind of load are in the table of kinds. It is never changed.
var defaults = Spec{
	Schema: ptr(Schema),
	Pin: PinSpec{
		Supply:           q.Some(q.Volt(5)),
		SupplyTolerance:  q.Some(q.Ratio(0.05)),
		SourceCurrentMax: q.Some(q.Amp(20e-3)),
		SinkCurrentMax:   q.Some(q.Amp(20e-3)),
		Output:           "push-pull",
		ROutMax:          q.Some(q.Ohm(40)),
		ROutMin:          q.Some(q.Ohm(15)),
		AtReset:          "unknown",
		ResetPullMin:     q.Some(q.Ohm(20e3)),
		LeakageMax:       q.Some(q.Amp(1e-6)),
		InjectionMax:     q.Some(q.Amp(1e-3)),
		GroupMax:         q.Some(q.Amp(100e-3)),
		TotalMax:         q.Some(q.Amp(200e-3)),
		RailMax:          q.Some(q.Amp(400e-3)),
	},
	Environment: EnvSpec{
		AmbientMin:    q.Some(q.Celsius(0)),
		AmbientMax:    q.Some(q.Celsius(40)),
		EnclosureRise: q.Some(q.Kelvin(0)),
	},
	Policy: PolicySpec{Name: "bench"},
	Rails:  []RailSpec{{Tolerance: q.Some(q.Ratio(0.05)), Common: "pin"}}, // hazardous: common "none"
	Loads: []LoadSpec{{
		SupplyTolerance:     q.Some(q.Ratio(0.05)),
		Tolerance:           q.Some(q.Ratio(0.10)),
		ToleranceL:          q.Some(q.Ratio(0.20)),
		Side:                "any",
		Ground:              "floating",
		Mode:                "on-off",
		SwitchingRate:       q.Some(q.Rate(600.0 / 3600)), // on-off; told as assumed
		Duty:                q.Some(q.Ratio(1)),           // at most duty_max
		DutyMin:             q.Some(q.Ratio(0)),
		DutyMax:             q.Some(q.Ratio(1)),
		DutyEnforced:        "software",
		Unpowered:           "off",
		Isolation:           "none", // hazardous: reinforced
		Quantity:            ptr(1),
		WireLength:          q.Some(q.Metre(0)),
		WireArea:            q.Some(q.SquareMetre(0.25e-6)),
		CopperArea:          q.Some(q.SquareMetre(0)),
		StuckOn:             "harmless",
		AvalancheEvents:     ptr(0.0),
		OvervoltageCategory: "II",
		PollutionDegree:     ptr(2),
		MaterialGroup:       "IIIa",
		Built:               &Built{ResistorTolerance: q.Some(q.Ratio(0.05))},
	}},
}

func ptr[T any](v T) *T { return &v }

// or returns the quantity, or its default.
func or[Q q.Quantity](o, def q.Opt[Q]) Q {
	if v, ok := o.Get(); ok {
		return v
	}
	return def.Value()
}

// Default returns the text of what stands where the field at a path is not
// stated, "" where there is no such thing: the figure is unknown, or depends on
// the kind of load. On a hazardous rail common is "none" and isolation
// "reinforced" all the same.
func Default(field string) string {
	name, key := splitPath(field)
	if kind, _ := selector(name); kind != "" {
		field = kind + "[0]." + key
	}
	text, _ := Get(&defaults, field)
	return text
}
