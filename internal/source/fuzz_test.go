package source

import (
	"bytes"
	"reflect"
	"strings"
	"testing"
	"unicode/utf8"
)

// FuzzDecode reads any text: no panic, every error with a place in the text and
// fit for a terminal, and what is read without one comes back from its own
// print.
func FuzzDecode(f *testing.F) {
	for _, seed := range []string{
		whole, encoded, "", "x = [[[[[[[[[[1]]]]]]]]]]", "[a.b]\n[[a.c]]\n[a]", "a = { b = { c = [ { } ] }, b.d = 1 }",
		"title = \"\"\"a\\\n  b\"\"\"", "title = '''x''''", "\"\\u0000\" = 1", "[[thing]]\npoints = [{i=\"1 A\"},]\n[thing.points]",
		"tags = [\n#]\n]", "[[thing]]\nv_ds_max = \"1e400 V\"", "\ufeff[setting]\r\nfactor = 0x10", "title = 1\x00", "thing = [{}, {id = ''}]",
		"thing = [1, {}]", "thing.no = 1", "=", "[", "[[", "[[a]", "a.", "a = {", "a = \"\\", "a = '", "''=1", "a=1979-05-27 07:32:00Z",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		d, errs := Parse("f", text)
		if (d == nil) == (errs == nil) {
			t.Fatalf("a document %v and errors %v", d, errs)
		}
		if d == nil {
			checkErrors(t, text, errs)
			return
		}
		var c crate
		errs = Decode(d, &c, Options{RequireAll: true})
		checkErrors(t, text, errs)
		if errs = Decode(d, &c); errs.Fatal() {
			return
		}
		printed := Encode(&c)
		back, errs := read(string(printed))
		if errs.Fatal() {
			t.Fatalf("%s\n%s", errs, printed)
		}
		if !reflect.DeepEqual(back, c) || !bytes.Equal(Encode(&back), printed) {
			t.Fatalf("got\n%s\nwant\n%s", Encode(&back), printed)
		}
		JSON(&c)
	})
}

func checkErrors(t *testing.T, text []byte, errs Errors) {
	rows := strings.Split(strings.TrimPrefix(string(text), "\ufeff"), "\n")
	for _, e := range errs {
		if e.Line < 1 || e.Line > len(rows) || e.Column < 1 || e.Column > utf8.RuneCountInString(rows[e.Line-1])+1 {
			t.Fatalf("no such place: %s", e)
		}
		if s := e.Error(); strings.ContainsFunc(s, Unprintable) || e.Found == "" || e.Expected == "" {
			t.Fatalf("not fit to be shown: %q", s)
		}
	}
}
