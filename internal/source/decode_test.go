package source

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"testing"

	q "example.org/pinhoist/internal/quantity"
)

// TestErrorTexts gives malformed texts and every word of what is said of them.
// The expected lines were written by hand from the texts.
func TestErrorTexts(t *testing.T) {
	all := Options{RequireAll: true}
	tests := []struct {
		name string
		text string
		opts []Options
		want []string
	}{
		{"nothing wrong", whole, []Options{all}, nil},
		{"wrong dimension", "[[thing]]\nv_ds_max = \"5 A\"\n", nil,
			[]string{`f:2:1: thing[0].v_ds_max: found 5 A, expected a voltage, such as 12 V ("A" is the unit of a current)`}},
		{"bare number", "[[thing]]\nv_ds_max = 12\n", nil,
			[]string{`f:2:1: thing[0].v_ds_max: found 12, expected text with a unit such as "12 V"`}},
		{"comma decimal", "[[thing]]\nv_ds_max = \"12,5 V\"\n", nil,
			[]string{`f:2:1: thing[0].v_ds_max: found 12,5 V, expected a voltage, such as 12 V (write a decimal point, not a comma)`}},
		{"text for a number", "[[thing]]\nlife = \"12\"\nstock = 1.5\n", nil,
			[]string{`f:2:1: thing[0].life: found "12", expected a number`,
				`f:3:1: thing[0].stock: found 1.5, expected a whole number`}},
		{"other types", "title = 7\ntags = \"a\"\n[[thing]]\nown = \"yes\"\nwindow = [1]\npoints = { i = \"1 A\" }\nid = 2020-01-01\nprice = 3\n", nil,
			[]string{`f:1:1: title: found 7, expected text in quotation marks`,
				`f:2:1: tags: found "a", expected a list of texts such as ["a", "b"]`,
				`f:4:1: thing[0].own: found "yes", expected true or false`,
				`f:5:1: thing[0].window: found a list, expected a table`,
				`f:6:1: thing[0].points: found a table, expected a list of tables`,
				`f:7:1: thing[0].id: found a date or time, expected text in quotation marks`,
				`f:8:1: thing[0].price: found 3, expected an amount of money, such as 0.38 EUR`}},
		{"table where a list is", "[thing]\nid = \"a\"\n", nil,
			[]string{`f:1:2: thing: found a table, expected a list of tables`}},
		{"unknown keys", "[[thing]]\nV_DS_max = \"9 V\"\nvds-max = \"9 V\"\nv_ds_mxa = \"9 V\"\ncolour = 1\n[seting]\n", nil,
			[]string{`f:2:1: thing[0].V_DS_max: found an unknown key, expected a known one: did you mean v_ds_max?`,
				`f:3:1: thing[0].vds-max: found an unknown key, expected a known one: did you mean v_ds_max?`,
				`f:4:1: thing[0].v_ds_mxa: found an unknown key, expected a known one: did you mean v_ds_max?`,
				`f:5:1: thing[0].colour: found an unknown key, expected a key of this table`,
				`f:6:2: seting: found an unknown key, expected a known one: did you mean setting?`}},
		{"unknown key of a point", "[[thing]]\npoints = [{ i = \"1 A\", typical = 1 }]\n", nil,
			[]string{`f:2:24: thing[0].points[0].typical: found an unknown key, expected one of i, max`}},
		{"missing keys", "[[thing]]\nid = \"a\"\nwindow = { min = \"1 V\" }\n", []Options{all},
			[]string{`f:1:3: thing[0].kind: found nothing, expected one of npn, pnp`,
				`f:1:3: thing[0].sure: found nothing, expected true or false`,
				`f:1:3: thing[0].v_ds_max: found nothing, expected a voltage, such as 12 V`,
				`f:3:1: thing[0].window.max: found nothing, expected a voltage, such as 12 V`}},
		{"nothing is demanded by itself", "[[thing]]\nid = \"a\"\nwindow = { min = \"1 V\" }\n", nil, nil},
		{"demanded by function", "[[thing]]\nwindow = { min = \"1 V\" }\n",
			[]Options{{Require: func(t reflect.Type, key string) bool { return t == reflect.TypeFor[thing]() && key == "id" }}},
			[]string{`f:1:3: thing[0].id: found nothing, expected text in quotation marks`}},
		{"waived", "[[thing]]\nsure = true\nv_ds_max = \"60 V\"\n",
			[]Options{{RequireAll: true, Waive: func(path string, _ reflect.Type, key string) bool {
				return path == "thing[0]" && key == "id"
			}}},
			[]string{`f:1:3: thing[0].kind: found nothing, expected one of npn, pnp`}},
		{"empty where demanded", "[[thing]]\nid = \"\"\nkind = \"\"\nv_ds_max = \"\"\n", nil,
			[]string{`f:2:1: thing[0].id: found an empty text, expected text`,
				`f:3:1: thing[0].kind: found "", expected one of npn, pnp`,
				`f:4:1: thing[0].v_ds_max: found an empty text, expected a voltage, such as 12 V (the text is empty)`}},
		{"not finite", "[setting]\nfactor = inf\n[[thing]]\ngain = nan\nlife = -inf\n", nil,
			[]string{`f:2:1: setting.factor: found +Inf, expected a finite number`,
				`f:4:1: thing[0].gain: found NaN, expected a finite number`,
				`f:5:1: thing[0].life: found -Inf, expected a finite number`}},
		{"sign", "[setting]\nfactor = -0.1\nlow = \"-300 C\"\n[[thing]]\nstock = -1\nv_ds_max = \"0 V\"\nleak = \"-1 uA\"\ngain = 0\nslope = \"-2 mV/K\"\nprice = \"-1 EUR\"\n", nil,
			[]string{`f:2:1: setting.factor: found -0.1, expected at least 0`,
				`f:3:1: setting.low: found -300 C, expected a temperature above absolute zero, -273.15 C`,
				`f:5:1: thing[0].stock: found -1, expected at least 0`,
				`f:6:1: thing[0].v_ds_max: found 0 V, expected a value above zero`,
				`f:7:1: thing[0].leak: found -1 uA, expected at least 0`,
				`f:8:1: thing[0].gain: found 0, expected a value above zero`,
				`f:10:1: thing[0].price: found -1 EUR, expected an amount of money, such as 0.38 EUR (a price is not negative)`}},
		{"a word outside its set", "[[thing]]\nkind = \"NPN\"\n", nil,
			[]string{`f:2:1: thing[0].kind: found "NPN", expected one of npn, pnp`}},
		{"implausible", "[[thing]]\nl_coil = \"60 MH\"\nv_ds_max = \"0.006 kV\"\ngain = 2\n[setting]\nlow = \"61 C\"\n", nil,
			[]string{`f:2:1: warning: thing[0].l_coil: found 60 MH, expected 1 nH to 1 kH; it is taken as said: 60 MH is 60000000 H; milli is a small m`,
				`f:3:1: warning: thing[0].v_ds_max: found 0.006 kV (6 V), expected 8 V to 2 kV; it is taken as said`,
				`f:4:1: warning: thing[0].gain: found 2, expected 5 to 50000; it is taken as said`,
				`f:6:1: warning: setting.low: found 61 C, expected -60 C to 60 C; it is taken as said`}},
		{"control characters", "title = \"a\\u001bb\"\ntags = [\"x\", \"\\u202e\"]\n[[thing]]\nr = \"\\u0007\"\n\"i\\u0000d\" = 1\nkind = \"\\u009b\"\n", nil,
			[]string{`f:1:1: title: found a control character (U+001B) in a text, expected printable characters`,
				`f:2:14: tags[1]: found a control character (U+202E) in a text, expected printable characters`,
				`f:4:1: thing[0].r: found a control character (U+0007) in a text, expected printable characters`,
				`f:5:1: thing[0]."i\u0000d": found a control character in a key, expected a known key`,
				`f:6:1: thing[0].kind: found a control character (U+009B) in a text, expected printable characters`}},
		{"own types", "[[thing]]\nr = true\ncurves = [{ t = \"4 V\", points = [] }, { t = 3 }]\n", nil,
			[]string{`f:2:1: thing[0].r: found true, expected false, or a resistance`,
				`f:3:13: thing[0].curves[0].t: found 4 V, expected a time, such as 30 ms, or dc ("V" is the unit of a voltage)`,
				`f:3:24: thing[0].curves[0].points: found an empty list, expected 1 to 64 entries`,
				`f:3:41: thing[0].curves[1].t: found 3, expected text`}},
		{"too many points", "[[thing]]\npoints = [" + strings.Repeat(`{ i = "1 A" }, `, 65) + "]\n", nil,
			[]string{`f:2:1: thing[0].points: found 65 entries, expected at most 64`}},
		{"all points", "[[thing]]\npoints = [" + strings.Repeat(`{ i = "1 A" }, `, 64) + "]\n", nil, nil},
		{"places in lines and tables", lines("# a", "tags = [", "  'é', 1,", "  # ]", "  2", "]", "[[thing]]", "[[thing]]",
			"no.carry = 3", "[thing.window]", `"min" = 1`, "[[thing.points]]", "[[thing.points]]", "max = 2"), nil,
			[]string{`f:3:8: tags[1]: found 1, expected text`,
				`f:5:3: tags[2]: found 2, expected text`,
				`f:9:4: thing[1].no.carry: found 3, expected text with a unit such as "20 mA"`,
				`f:11:1: thing[1].window.min: found 1, expected text with a unit such as "12 V"`,
				`f:14:1: thing[1].points[1].max: found 2, expected text with a unit such as "4.7 kohm"`}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, errs := read(tt.text, tt.opts...)
			compare(t, errs, tt.want)
		})
	}
}

// TestSyntaxTexts gives texts that are refused whole: one error, alone.
func TestSyntaxTexts(t *testing.T) {
	tests := []struct{ name, text, want string }{
		{"key twice", lines("title = \"a\"", "[setting]", "factor = 1", "low = \"1 C\"", "factor = 2", "bad = 1"),
			`f:5:1: setting.factor: found this key a second time, expected each key once; it stands on line 3 already`},
		{"key twice in a list", lines("[[thing]]", "id = \"a\"", "[[thing]]", "id = \"b\"", "id = \"c\""),
			`f:5:1: thing[1].id: found this key a second time, expected each key once; it stands on line 4 already`},
		{"key twice in a line", "[[thing]]\nwindow = { min = \"1 V\", min = \"2 V\" }\n",
			`f:2:25: thing[0].window.min: found this key a second time, expected each key once; it stands on line 2 already`},
		{"table twice", lines("[setting]", "[[thing]]", "[setting]"),
			`f:3:2: setting: found this key a second time, expected each key once; it stands on line 1 already`},
		{"table over a value", lines("setting = 1", "[setting.x]"),
			`f:2:2: setting: found the key "setting" again, in another form, expected each key once`},
		{"list over a table", lines("[thing]", "[[thing]]"),
			`f:2:3: thing[0]: found the key "thing" again, in another form, expected each key once`},
		{"in a list", "[[thing]]\npoints = [{ i = \"1 A\" },\n  { i = \"1 A\", max = 3 ohm }]\n",
			`f:3:24: thing[0].points[1].max: found 'o', expected a comma or an inline table terminator '}' (a value with a unit is text in quotation marks: "12 V")`},
		{"after a key that is done with", "schema = 1\n= 2\n", `f:2:1: found unexpected '=': key name appears blank, expected valid TOML`},
		{"wrong escape", "title = \"a\\q\"\n", `f:1:10: title: found the escape \q in a text, expected one that TOML has (a backslash is written \\)`},
		{"unquoted quantity", "[[thing]]\nv_ds_max = 12 V\n",
			`f:2:15: thing[0].v_ds_max: found 'V', expected a top-level item to end with a newline, comment, or EOF (a value with a unit is text in quotation marks: "12 V")`},
		{"bare comma decimal", "[setting]\nfactor = 1,5\n",
			`f:2:11: setting.factor: found ',', expected a top-level item to end with a newline, comment, or EOF (a decimal point, not a comma)`},
		{"text not closed", "title = \"abc\nschema = 1\n",
			`f:1:13: title: found a line break inside a text, expected its closing quotation mark on the same line`},
		{"text not closed at the end", "[setting]\nlow = \"1 C", `f:2:7: setting.low: found a text that is not closed, expected its closing "`},
		{"text of lines not closed", "[[thing]]\nid = \"\"\"\n" + strings.Repeat("kind = \"npn\"\n", 2000),
			`f:2:6: thing[0].id: found a text that is not closed, expected its closing """`},
		{"fault before a text not closed", "schema = 01\ntitle = '''\n",
			`f:1:10: schema: found the number 01, expected a number as TOML has it: cannot have leading zeroes`},
		{"many keys", manyLines("a%d = 1\n", 1001), `f:1001:1: found more than 1000 keys in one table, expected at most 1000`},
		{"many tables", manyLines("[a%d]\n", 1001), `f:1001:2: found more than 1000 keys in one table, expected at most 1000`},
		{"many keys of a table", "[[thing]]\n" + manyLines("a%d = 1\n", 1001), `f:1002:1: found more than 1000 keys in one table, expected at most 1000`},
		{"many keys in a line", "x = { " + manyLines("a%d = 1, ", 1001) + "}\n", `f:1:9897: found more than 1000 keys in one table, expected at most 1000`},
		{"list not closed", "tags = [1,\n", `f:1:11: tags: found the end of the text, expected value`},
		{"no value", "title =\n", `f:1:8: title: found the end of the line, expected value`},
		{"no TOML", "pinhoist\n", `f:1:9: pinhoist: found the end of the line, expected '.' or '='`},
		{"control character", "title = 1 # \x1b[2J\n",
			`f:1:13: title: found a control character (0x1b), expected printable text`},
		{"not UTF-8", "title = \"\xff\"\n", `f:1:10: found the byte 0xff, expected text in UTF-8`},
		{"UTF-16", "t\x00i\x00=\x001\x00", `f:1:2: t: found a zero byte, expected text in UTF-8`},
		{"number out of range", "schema = 99999999999999999999\n",
			`f:1:10: schema: found 99999999999999999999, expected a number within the range of int64`},
		{"nested lists", "x = " + strings.Repeat("[", 1<<20),
			`f:1:13: found tables and arrays nested deeper than 8, expected at most 8 levels`},
		{"nested tables", strings.Repeat("x = {", 1<<18),
			`f:1:45: found tables and arrays nested deeper than 8, expected at most 8 levels`},
		{"long key", "schema = 1\n" + strings.Repeat("a.", 1<<20) + "b = 1\n",
			`f:2:1: found tables and arrays nested deeper than 8, expected at most 8 levels`},
		{"long header", "[" + strings.Repeat("a.", 1<<20) + "b]\n",
			`f:1:2: found tables and arrays nested deeper than 8, expected at most 8 levels`},
		{"nesting after a fault", "x = ?\n" + strings.Repeat("[", 1<<22),
			`f:1:5: x: found '?', expected value`},
		{"huge list", "x = [" + strings.Repeat("1,", 1<<20) + "]\n",
			`f:1:5: found more than 20000 entries, expected at most 20000`},
		{"huge list of tables", strings.Repeat("[[thing]]\n", MaxEntries+1),
			`f:20001:3: thing: found more than 20000 entries, expected at most 20000`},
		{"huge list of tables in one part", "[[thing]]\n" + strings.Repeat("[[thing.points]]\n", MaxEntries+1),
			`f:20002:3: thing: found more than 20000 entries, expected at most 20000`},
		{"byte order mark", "\ufefftitle = 1 2\n",
			`f:1:11: title: found '2', expected a top-level item to end with a newline, comment, or EOF (a value with a unit is text in quotation marks: "12 V")`},
		{"carriage returns", "schema = 1\r\ntitle = 1 2\r\n",
			`f:2:11: title: found '2', expected a top-level item to end with a newline, comment, or EOF (a value with a unit is text in quotation marks: "12 V")`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d, errs := Parse("f", []byte(tt.text))
			if d != nil {
				t.Error("a document came with the error")
			}
			compare(t, errs, []string{tt.want})
		})
	}
}

// manyLines is format n times, with its number.
func manyLines(format string, n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, format, i)
	}
	return b.String()
}

func compare(t *testing.T, errs Errors, want []string) {
	t.Helper()
	got := strings.Split(errs.Error(), "\n")
	if len(errs) == 0 {
		got = nil
	}
	for i := range max(len(got), len(want)) {
		var g, w string
		if i < len(got) {
			g = got[i]
		}
		if i < len(want) {
			w = want[i]
		}
		if g != w {
			t.Errorf("error %d:\n got %s\nwant %s", i, g, w)
		}
	}
}

func TestTooLarge(t *testing.T) {
	_, errs := Parse("f", make([]byte, MaxBytes+1))
	compare(t, errs, []string{"f: found 33554433 bytes, expected at most 33554432 (32 MiB)"})
}

func TestTooManyErrors(t *testing.T) {
	_, errs := read("[[thing]]\n" + strings.Repeat("[[thing]]\nv_ds_max = 1\n", maxErrors+5))
	if len(errs) != maxErrors+1 || !errs.Fatal() {
		t.Fatalf("got %d errors", len(errs))
	}
}

// TestManyParts reads the most parts there may be, each with errors, to see
// that nothing grows with the square of the text.
func TestManyParts(t *testing.T) {
	var b strings.Builder
	for i := range MaxEntries {
		b.WriteString("[[thing]]\nid = \"t" + strconv.Itoa(i) + "\"\nv_ds_max = \"60 V\"\nunknown = 1\n")
	}
	_, errs := read(b.String())
	if len(errs) != maxErrors+1 {
		t.Fatalf("got %d errors", len(errs))
	}
	if got := errs[len(errs)-1].Error(); !strings.HasPrefix(got, "f:4000:1: thing[999].unknown") {
		t.Error(got)
	}
}

func TestDecodeValues(t *testing.T) {
	c, errs := read(whole, Options{RequireAll: true})
	if errs != nil {
		t.Fatal(errs)
	}
	yes, no := true, false
	one, zero, life := 1, 0, 1e7
	pt := func(i q.Amp) point { return point{I: q.Some(i)} }
	want := crate{
		Schema:  &one,
		Title:   `All "forms" # no comment`,
		Setting: setting{Low: q.Some(q.Celsius(-40)), Factor: 0.5},
		Tags:    []string{"one", "two"},
		Things: []thing{{
			common: common{ID: "a", Price: &q.Money{Amount: 0.3, Currency: "EUR"}, Stock: &zero, Own: true},
			Kind:   "npn", Sure: &no, VMax: q.Some(q.Volt(60)), Coil: q.Some(q.Henry(0.06)),
			Slope: q.Some(q.VoltPerKelvin(-0.002)), Leak: q.Some(q.Amp(0)), Gain: q.Some(q.Ratio(120)), Life: &life,
			Points: []point{{q.Some(q.Amp(1)), q.Some(q.Ohm(0.01))}, pt(2)},
			Window: &window{q.Some(q.Volt(1)), q.Some(q.Volt(2.5))},
			Curves: []curve{{length{t: 0.01}, []point{pt(1), pt(3)}}, {length{dc: true}, []point{pt(7)}}},
			Fits:   []string{"TO-220"},
			NO:     &contact{q.Some(q.Amp(10)), []point{pt(3)}},
			R:      element{Said: true, R: 4700},
		}, {
			common: common{ID: "b"}, Kind: "pnp", Sure: &yes, VMax: q.Some(q.Volt(100)),
			Points: []point{pt(1.5), pt(2.5)}, R: element{Said: true, None: true},
		}},
	}
	if !reflect.DeepEqual(c, want) {
		t.Errorf("got  %s\nwant %s", JSON(&c), JSON(&want))
	}
}

func TestDecodeTable(t *testing.T) {
	d, errs := Parse("f", []byte(whole))
	if errs != nil {
		t.Fatal(errs)
	}
	var th thing
	if errs := DecodeTable(d, "thing[1]", &th); errs != nil || th.ID != "b" {
		t.Errorf("got %q, %v", th.ID, errs)
	}
	var p point
	compare(t, DecodeTable(d, "thing[0].curves[1].points[0]", &p), nil)
	if p.I.Or(0) != 7 {
		t.Errorf("got %v", p.I)
	}
	compare(t, DecodeTable(d, "thing[2]", &th), []string{"f:12:3: thing[2]: found nothing, expected a table"})
	compare(t, DecodeTable(d, "title", &th), []string{`f:2:1: title: found "All \"forms\" # no comment", expected a table`})
	if !d.Has("thing[0].no.ac[0].i") || d.Has("thing[0].no.ac[1]") || d.Has("thing.id") {
		t.Error("Has is wrong")
	}
}

func TestPlace(t *testing.T) {
	d, errs := Parse("f", []byte(whole))
	if errs != nil {
		t.Fatal(errs)
	}
	tests := []struct {
		path      string
		line, col int
	}{
		{"", 1, 1},
		{"title", 2, 1},
		{"tags[1]", 5, 3},
		{"setting", 8, 2},
		{"setting.low", 9, 1},
		{"thing", 12, 3},
		{"thing[0]", 12, 3},
		{"thing[1]", 36, 3},
		{"thing[0].points[0].max", 27, 24},
		{"thing[0].points[1].i", 28, 13},
		{"thing[0].points[1].max", 28, 11}, // not there: its point
		{"thing[0].curves[1].points[0].i", 30, 93},
		{"thing[0].no.ac[0].i", 34, 9},
		{"thing[1].points[1].i", 45, 1},
		{"thing[1].points[7].i", 42, 9}, // not there: its list
		{"nothing[3].of.this", 1, 1},
	}
	for _, tt := range tests {
		if line, col := d.Place(tt.path); line != tt.line || col != tt.col {
			t.Errorf("%s: got %d:%d, want %d:%d", tt.path, line, col, tt.line, tt.col)
		}
	}
	e := d.Warnf("thing[1].kind", "pnp", "npn")
	if got, want := e.Error(), "f:38:1: warning: thing[1].kind: found pnp, expected npn"; got != want {
		t.Errorf("got %s", got)
	}
}

// TestPlaceKeys finds keys in every spelling that TOML has.
func TestPlaceKeys(t *testing.T) {
	text := lines(
		`a."b.c".'d e' = 1`,
		`x = """`,
		`y = 1 # not a key`,
		`""" # x`,
		`y = '''one ''two'''''`,
		`z = [ [1, 2], ["a]", 'b]'], { k = { l = 1979-05-27 07:32:00 }, m = true } ]`,
		`[ t . "u" ]`,
		`v = "\"]" # x = 1`,
		`"q\u00e4" = {`,
		`  w = 1, # a comment }`,
		`  x.y = 2,`,
		`}`,
	)
	d, errs := Parse("f", []byte(text))
	if errs != nil {
		t.Fatal(errs)
	}
	tests := []struct {
		path      string
		line, col int
	}{
		{`a."b.c"."d e"`, 1, 9},
		{`a."b.c"`, 1, 3},
		{"x", 2, 1},
		{"y", 5, 1},
		{"z[0][1]", 6, 11},
		{"z[1][1]", 6, 22},
		{"z[2].k.l", 6, 37},
		{"z[2].m", 6, 64},
		{"t.u", 7, 7},
		{"t.u.v", 8, 1},
		{`t.u."qä".w`, 10, 3},
		{`t.u."qä".x.y`, 11, 5},
	}
	for _, tt := range tests {
		if line, col := d.Place(tt.path); line != tt.line || col != tt.col {
			t.Errorf("%s: got %d:%d, want %d:%d", tt.path, line, col, tt.line, tt.col)
		}
		if !d.Has(tt.path) {
			t.Errorf("%s: not in the tree", tt.path)
		}
	}
}

func TestErrors(t *testing.T) {
	es := Errors{
		{File: "b", Line: 1, Column: 1, Found: "1", Expected: "2"},
		{File: "a", Line: 2, Column: 1, Key: "y", Found: "1", Expected: "2"},
		{File: "a", Line: 2, Column: 1, Key: "x", Found: "\x1b[1m", Expected: "2", Warning: true},
		{File: "a", Found: "x", Expected: "y"},
	}
	es.Sort()
	compare(t, es, []string{
		"a: found x, expected y",
		"a:2:1: warning: x: found \ufffd[1m, expected 2",
		"a:2:1: y: found 1, expected 2",
		"b:1:1: found 1, expected 2",
	})
	if !es.Fatal() || (Errors{{Warning: true}}).Fatal() || (Errors)(nil).Fatal() {
		t.Error("Fatal is wrong")
	}
}

func TestDistance(t *testing.T) {
	tests := []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"max", "max", 0}, {"max", "mac", 1}, {"max", "mx", 1}, {"mx", "max", 1},
		{"max", "mxa", 1}, {"v_ds_max", "v_sd_mxa", 2}, {"abc", "xyz", 3}, {"abcdef", "a", 3},
	}
	for _, tt := range tests {
		if got := distance(tt.a, tt.b, 3); got != tt.want {
			t.Errorf("%q %q: got %d, want %d", tt.a, tt.b, got, tt.want)
		}
	}
}

// A key with a word too many, or one cut short, means the known one that its words hold.
func TestHintWithin(t *testing.T) {
	p := &plan{fields: []fieldPlan{{key: "current"}, {key: "pwm_frequency"}, {key: "voltage_min"}, {key: "stall_current"}}}
	for key, want := range map[string]string{"nominal_current": "current", "pwm_freq": "pwm_frequency", "motor_stall_current": "stall_current",
		"voltage": "", "amps": "", "min": ""} {
		if got := p.hint(key); got != want {
			t.Errorf("%s: %q, want %q", key, got, want)
		}
	}
}
