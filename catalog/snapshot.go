package catalog

import (
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"hash"
	"io"
	"math"
	"reflect"
)

// A snapshot is the embedded catalogue as it was after decoding and lint, so
// that a start of the program does not read a third of a megabyte of TOML. It
// begins with a key made of the TOML texts and of the types of this package: a
// snapshot whose key differs is not used, and the texts are read instead. A
// test compares the two and says how to make a new one.

// snapshotName is the file of the snapshot among the embedded data.
const snapshotName = "data/catalog.bin"

var errSnapshot = errors.New("catalog: a damaged snapshot")

// snapshotKey tells whether a snapshot belongs to these texts and these types.
func snapshotKey(sources []Source) []byte {
	h := sha256.New()
	for _, s := range sources {
		io.WriteString(h, s.Name+"\x00")
		h.Write(s.Text)
		h.Write([]byte{0})
	}
	describeType(h, reflect.TypeFor[Catalog]())
	return h.Sum(nil)
}

// describeType writes the names and types of everything below t.
func describeType(h hash.Hash, t reflect.Type) {
	io.WriteString(h, t.String()+";")
	switch t.Kind() {
	case reflect.Pointer, reflect.Slice:
		describeType(h, t.Elem())
	case reflect.Struct:
		for i := range t.NumField() {
			if f := t.Field(i); f.IsExported() {
				io.WriteString(h, f.Name+" ")
				describeType(h, f.Type)
			}
		}
	}
}

// snapshot is the catalogue behind its key.
func snapshot(c *Catalog, key []byte) []byte {
	return appendValue(append([]byte(nil), key...), reflect.ValueOf(c).Elem())
}

// readSnapshot gives back the catalogue of a snapshot with that key.
func readSnapshot(b, key []byte) (*Catalog, error) {
	if len(b) < len(key) || string(b[:len(key)]) != string(key) {
		return nil, errSnapshot
	}
	c := &Catalog{}
	r := snapshotReader{b: b[len(key):]}
	r.value(reflect.ValueOf(c).Elem())
	if r.failed || len(r.b) > 0 {
		return nil, errSnapshot
	}
	c.index()
	return c, nil
}

// appendValue writes a value in the order of its fields; unexported ones are not
// part of a snapshot.
func appendValue(b []byte, v reflect.Value) []byte {
	if n, ok := asQuantity(v); ok {
		if !n.Known() {
			return append(b, 0)
		}
		return binary.LittleEndian.AppendUint64(append(b, 1), math.Float64bits(n.SI()))
	}
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			return append(b, 0)
		}
		return appendValue(append(b, 1), v.Elem())
	case reflect.Slice:
		b = binary.AppendUvarint(b, uint64(v.Len()))
		for i := range v.Len() {
			b = appendValue(b, v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				b = appendValue(b, v.Field(i))
			}
		}
	case reflect.String:
		b = append(binary.AppendUvarint(b, uint64(v.Len())), v.String()...)
	case reflect.Bool:
		if v.Bool() {
			return append(b, 1)
		}
		return append(b, 0)
	case reflect.Int:
		b = binary.AppendVarint(b, v.Int())
	case reflect.Float64:
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(v.Float()))
	default:
		panic("catalog: a snapshot cannot hold a " + v.Type().String()) // a test writes one of each kind
	}
	return b
}

// asQuantity is a value as a quantity that may be absent, when it is one.
func asQuantity(v reflect.Value) (number, bool) {
	if v.Kind() != reflect.Struct || !v.CanAddr() {
		return nil, false
	}
	n, ok := v.Addr().Interface().(number)
	return n, ok
}

// snapshotReader reads what appendValue wrote. After a fault it reads zeros.
type snapshotReader struct {
	b      []byte
	failed bool
}

func (r *snapshotReader) take(n uint64) []byte {
	if r.failed || n > uint64(len(r.b)) {
		r.failed, r.b = true, nil
		return nil
	}
	out := r.b[:n]
	r.b = r.b[n:]
	return out
}

func (r *snapshotReader) flag() bool {
	b := r.take(1)
	return len(b) == 1 && b[0] == 1
}

func (r *snapshotReader) float() float64 {
	b := r.take(8)
	if len(b) < 8 {
		return 0
	}
	return math.Float64frombits(binary.LittleEndian.Uint64(b))
}

// length is a count of things that take a byte each at least.
func (r *snapshotReader) length() uint64 {
	n, used := binary.Uvarint(r.b)
	if used <= 0 || n > uint64(len(r.b)-used) {
		r.failed, r.b = true, nil
		return 0
	}
	r.b = r.b[used:]
	return n
}

func (r *snapshotReader) value(v reflect.Value) {
	if r.failed {
		return
	}
	if n, ok := asQuantity(v); ok {
		if r.flag() {
			n.SetSI(r.float())
		}
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		if r.flag() {
			v.Set(reflect.New(v.Type().Elem()))
			r.value(v.Elem())
		}
	case reflect.Slice:
		if n := int(r.length()); n > 0 {
			v.Set(reflect.MakeSlice(v.Type(), n, n))
			for i := range n {
				r.value(v.Index(i))
			}
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				r.value(v.Field(i))
			}
		}
	case reflect.String:
		v.SetString(string(r.take(r.length())))
	case reflect.Bool:
		v.SetBool(r.flag())
	case reflect.Int:
		n, used := binary.Varint(r.b)
		r.take(uint64(max(used, 0)))
		r.failed = r.failed || used <= 0
		v.SetInt(n)
	case reflect.Float64:
		v.SetFloat(r.float())
	}
}
