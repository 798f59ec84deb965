package catalog

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"testing"

	"github.com/BurntSushi/toml"
)

// TestAnyKeyMayLack takes every key and every pair of keys of one table away
// from the sample of each kind, and from the first embedded part of each shape:
// it is loaded or refused, and never ends the program. What has the keys of a
// file that was tried is not tried again. In short every tenth is.
func TestAnyKeyMayLack(t *testing.T) {
	packages := packageText(t)
	seen, n := map[string]bool{}, 0
	for _, doc := range shapes(t) {
		for i, without := range lacks(doc) {
			if testing.Short() && i%10 > 0 {
				continue
			}
			shape := fmt.Sprint(shapeOf(without))
			if seen[shape] {
				continue
			}
			seen[shape] = true
			var text bytes.Buffer
			if err := toml.NewEncoder(&text).Encode(without); err != nil {
				t.Fatal(err)
			}
			survives(t, packages, text.Bytes())
			n++
		}
	}
	if n < 5_000 && !testing.Short() || n < 500 {
		t.Errorf("only %d files were tried", n)
	}
}

// survives loads a text, both as one of the program's own and as a user's.
func survives(t *testing.T, packages Source, text []byte) {
	t.Helper()
	defer func() {
		if p := recover(); p != nil {
			t.Fatalf("%v\n%s", p, text)
		}
	}()
	for _, embedded := range []bool{true, false} {
		c, errs := Load([]Source{packages, {Name: "lack.toml", Text: text, Embedded: embedded}})
		if (c == nil) != errs.Fatal() {
			t.Fatalf("a catalogue %v, errors %v\n%s", c != nil, errs, text)
		}
	}
}

// shapes are files of one part each: no two have the same keys.
func shapes(t *testing.T) []map[string]any {
	t.Helper()
	texts := sampleSources(t)
	own, err := EmbeddedSources()
	if err != nil {
		t.Fatal(err)
	}
	texts = append(texts, own...)
	seen := map[string]bool{}
	var out []map[string]any
	for _, s := range texts {
		var doc map[string]any
		if err := toml.Unmarshal(s.Text, &doc); err != nil {
			t.Fatal(err)
		}
		for _, kind := range slices.Sorted(maps.Keys(doc)) {
			parts, ok := doc[kind].([]map[string]any)
			if !ok {
				continue
			}
			for _, p := range parts {
				file := map[string]any{"schema": doc["schema"], kind: []map[string]any{p}}
				if shape := fmt.Sprint(shapeOf(file)); !seen[shape] {
					seen[shape] = true
					out = append(out, file)
				}
			}
		}
	}
	return out
}

// shapeOf is the keys of a value and of what is in it, sorted.
func shapeOf(v any) []string {
	var out []string
	switch v := v.(type) {
	case map[string]any:
		for k, in := range v {
			out = append(out, k)
			for _, s := range shapeOf(in) {
				out = append(out, k+"."+s)
			}
		}
	case []map[string]any:
		for i, in := range v {
			for _, s := range shapeOf(in) {
				out = append(out, fmt.Sprint(min(i, 1), ".", s))
			}
		}
	case []any:
		for i, in := range v {
			for _, s := range shapeOf(in) {
				out = append(out, fmt.Sprint(min(i, 1), ".", s))
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// lacks are copies of a value with one key, one element or two keys of the same
// table less.
func lacks(v any) []any {
	var out []any
	switch v := v.(type) {
	case map[string]any:
		keys := slices.Sorted(maps.Keys(v))
		for i, k := range keys {
			one := maps.Clone(v)
			delete(one, k)
			out = append(out, one)
			for _, other := range keys[i+1:] {
				two := maps.Clone(one)
				delete(two, other)
				out = append(out, two)
			}
			for _, in := range lacks(v[k]) {
				with := maps.Clone(v)
				with[k] = in
				out = append(out, with)
			}
		}
	case []map[string]any:
		all := make([]any, len(v))
		for i := range v {
			all[i] = v[i]
		}
		return lacks(all)
	case []any:
		for i := range v {
			out = append(out, slices.Delete(slices.Clone(v), i, i+1))
			for _, in := range lacks(v[i]) {
				with := slices.Clone(v)
				with[i] = in
				out = append(out, with)
			}
		}
	}
	return out
}
