package catalog

import (
	"encoding/json"
	"fmt"

	"example.org/pinhoist/internal/source"
)

// index makes Part quick.
func (c *Catalog) index() {
	parts := c.Parts()
	c.byID = make(map[string]Part, len(parts))
	for _, p := range parts {
		c.byID[p.Base().ID] = p
	}
}

// Parts lists every part in the order of kinds, then ids.
func (c *Catalog) Parts() []Part {
	out := make([]Part, 0, c.Len())
	out = appendParts(out, c.BJTs)
	out = appendParts(out, c.MOSFETs)
	out = appendParts(out, c.Relays)
	out = appendParts(out, c.SSRs)
	out = appendParts(out, c.Modules)
	out = appendParts(out, c.Arrays)
	out = appendParts(out, c.Diodes)
	out = appendParts(out, c.Zeners)
	out = appendParts(out, c.TVSs)
	out = appendParts(out, c.MOVs)
	out = appendParts(out, c.Resistors)
	out = appendParts(out, c.Capacitors)
	out = appendParts(out, c.HeatSinks)
	out = appendParts(out, c.Insulators)
	out = appendParts(out, c.Fuses)
	return appendParts(out, c.Limiters)
}

// Switches lists the parts that can switch a load: bipolar transistors, MOSFETs,
// relays, solid-state relays, modules and arrays, in this order, then by id.
func (c *Catalog) Switches() []Part {
	out := make([]Part, 0, c.switches())
	out = appendParts(out, c.BJTs)
	out = appendParts(out, c.MOSFETs)
	out = appendParts(out, c.Relays)
	out = appendParts(out, c.SSRs)
	out = appendParts(out, c.Modules)
	return appendParts(out, c.Arrays)
}

func (c *Catalog) switches() int {
	return len(c.BJTs) + len(c.MOSFETs) + len(c.Relays) + len(c.SSRs) + len(c.Modules) + len(c.Arrays)
}

// Len is the number of parts.
func (c *Catalog) Len() int {
	return c.switches() + len(c.Diodes) + len(c.Zeners) + len(c.TVSs) + len(c.MOVs) + len(c.Resistors) +
		len(c.Capacitors) + len(c.HeatSinks) + len(c.Insulators) + len(c.Fuses) + len(c.Limiters)
}

func appendParts[T any, P interface {
	*T
	Part
}](out []Part, parts []T) []Part {
	for i := range parts {
		out = append(out, P(&parts[i]))
	}
	return out
}

// Part finds a part by its id. The reserved id of the topology direct is not a
// part of a catalogue.
func (c *Catalog) Part(id string) (Part, bool) {
	if c.byID == nil { // made by hand, not by Load
		for _, p := range c.Parts() {
			if p.Base().ID == id {
				return p, true
			}
		}
		return nil, false
	}
	p, ok := c.byID[id]
	return p, ok
}

// PackageOf is the package of a part, nil when the catalogue has none of that
// name.
func (c *Catalog) PackageOf(p *Common) *Package {
	for i := range c.Packages {
		if c.Packages[i].Name == p.Package {
			return &c.Packages[i]
		}
	}
	return nil
}

// PartsJSON is the whole catalogue for other programs: every part with the keys
// and the nesting of its file, numbers in SI (temperatures in degrees Celsius,
// fractions as ratios), keys that are not stated left out.
func PartsJSON(c *Catalog) ([]byte, error) {
	type doc struct {
		Schema int               `json:"schema"`
		Parts  []json.RawMessage `json:"parts"`
	}
	d := doc{Schema: Schema, Parts: []json.RawMessage{}}
	for _, p := range c.Parts() {
		body := source.JSON(p)
		if len(body) < 2 || body[0] != '{' {
			return nil, fmt.Errorf("catalog: part %q has no JSON object", p.Base().ID)
		}
		kind := `{"kind":"` + string(p.Kind()) + `"`
		if body[1] != '}' {
			kind += ","
		}
		d.Parts = append(d.Parts, append([]byte(kind), body[1:]...))
	}
	return json.Marshal(d)
}
