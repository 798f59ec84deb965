package job

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strings"

	"example.org/pinhoist/internal/source"
)

// Decode reads a job file. name is shown in errors. The spec is nil where the
// text cannot be read at all; keys that could not be read are absent in it, so
// it serves only where no error is fatal. What is missing or contradictory is
// found by Resolve.
func Decode(name string, text []byte) (*Spec, source.Errors) {
	_, spec, errs := decode(name, text)
	return spec, errs
}

func decode(name string, text []byte) (*source.Document, *Spec, source.Errors) {
	doc, errs := source.Parse(name, text)
	if doc == nil {
		return nil, nil, errs
	}
	spec := &Spec{}
	errs = append(errs, source.Decode(doc, spec)...)
	return doc, spec, errs
}

// Read decodes and resolves a job file: every error of both at once, in the order
// of the text. The job is nil where an error is fatal. Given topology ids, a
// stage as built must name one of them.
func Read(name string, text []byte, topologies ...string) (*Spec, *Job, source.Errors) {
	doc, spec, errs := decode(name, text)
	if spec == nil {
		return nil, nil, errs
	}
	j, more := resolve(doc, spec, complained(errs), topologies)
	if j != nil {
		j.warn(errs)
	}
	errs = append(withoutRefused(errs, more), more...)
	errs.Sort()
	if errs.Fatal() {
		return spec, nil, errs
	}
	j.Digest = Digest(spec)
	return spec, j, errs
}

// takenAsSaid ends the warning of an implausible figure that has no likely slip
// to tell of.
const takenAsSaid = "it is taken as said"

// withoutRefused drops the warnings of figures that were then refused: they are
// not taken as said. One that names a likely slip stays.
func withoutRefused(errs, more source.Errors) source.Errors {
	refused := complained(more)
	return slices.DeleteFunc(errs, func(e source.Error) bool {
		return e.Warning && refused[e.Key] && strings.HasSuffix(e.Expected, takenAsSaid)
	})
}

// complained returns the paths that decoding found wrong, so that what follows
// from them is not told as well. A misspelt key counts for the one it meant.
func complained(errs source.Errors) map[string]bool {
	bad := make(map[string]bool, len(errs))
	for _, e := range errs {
		if e.Warning {
			continue
		}
		bad[e.Key] = true
		_, meant, ok := strings.Cut(e.Expected, "did you mean ")
		if !ok {
			continue
		}
		table := ""
		if dot := strings.LastIndexByte(e.Key, '.'); dot >= 0 {
			table = e.Key[:dot+1]
		}
		bad[table+strings.TrimSuffix(meant, "?")] = true
	}
	return bad
}

// Digest returns the SHA-256 of the exact text of a job, in hexadecimal, its
// loads and rails taken by name: their order in the file does not matter.
func Digest(spec *Spec) string {
	s := Clone(spec)
	slices.SortStableFunc(s.Loads, func(a, b LoadSpec) int { return strings.Compare(a.Name, b.Name) })
	slices.SortStableFunc(s.Rails, func(a, b RailSpec) int { return strings.Compare(a.Name, b.Name) })
	sum := sha256.Sum256(source.Encode(s))
	return hex.EncodeToString(sum[:])
}

// Encode returns the job as a file: exact, so that decoding it gives the same
// spec.
func Encode(spec *Spec) []byte { return source.Encode(spec) }
