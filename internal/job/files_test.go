package job

import (
	"bytes"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"
)

// topologies are the ids that a stage as built may name in these tests.
var topologies = []string{"direct", "npn-low", "n-mosfet-low", "relay", "ssr"}

// files returns the files of a folder of test data; an empty folder fails.
func files(t testing.TB, pattern string, least int) []string {
	t.Helper()
	names, err := filepath.Glob(filepath.Join("..", "..", "testdata", pattern))
	if err != nil || len(names) < least {
		t.Fatalf("%s: found %d files (%v), want at least %d", pattern, len(names), err, least)
	}
	return names
}

func read(t testing.TB, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// TestBadJobs compares every message of every malformed job with the .want file
// beside it: file, line, column, key, found and expected, all of a file at once.
// Each .want holds what a person must be told of the file it stands beside, and
// was judged line by line for that.
func TestBadJobs(t *testing.T) {
	for _, name := range files(t, "bad/jobs/*.toml", 30) {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".toml"), func(t *testing.T) {
			_, j, errs := Read(filepath.Base(name), read(t, name), topologies...)
			if len(errs) == 0 {
				t.Fatal("no complaint about a malformed job")
			}
			if (j == nil) != errs.Fatal() {
				t.Errorf("job is nil: %v, errors are fatal: %v", j == nil, errs.Fatal())
			}
			want := string(read(t, strings.TrimSuffix(name, ".toml")+".want"))
			if got := errs.Error() + "\n"; got != want {
				t.Errorf("got:\n%swant:\n%s", got, want)
			}
		})
	}
}

// TestJobs reads every job of the test data: no error, no warning, no figure
// that is not finite, and the same job after printing and reading it again.
func TestJobs(t *testing.T) {
	for _, name := range files(t, "jobs/*.toml", 8) {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".toml"), func(t *testing.T) {
			spec, j, errs := Read(filepath.Base(name), read(t, name), topologies...)
			if len(errs) > 0 || j == nil {
				t.Fatalf("want no complaint, got:\n%v", errs)
			}
			roundTrip(t, spec, j)
		})
	}
}

// roundTrip checks what holds for every job that was accepted.
func roundTrip(t *testing.T, spec *Spec, j *Job) {
	t.Helper()
	if at := notFinite(reflect.ValueOf(j).Elem(), "job"); at != "" {
		t.Errorf("%s is not finite", at)
	}
	text := Encode(spec)
	again, j2, errs := Read("again", text, topologies...)
	if errs.Fatal() {
		t.Fatalf("the printed job is refused:\n%v\n%s", errs, text)
	}
	if got := Encode(again); !bytes.Equal(got, text) {
		t.Errorf("printed twice, the job differs:\n%s\n%s", text, got)
	}
	j2.Warnings = j.Warnings // they hold places
	if !reflect.DeepEqual(j, j2) {
		t.Errorf("read again, the job differs:\n%+v\n%+v", j, j2)
	}
	if j.Digest != Digest(spec) || len(j.Digest) != 64 {
		t.Errorf("digest %q", j.Digest)
	}
}

// notFinite returns the path of the first number in v that is no finite number.
func notFinite(v reflect.Value, path string) string {
	switch v.Kind() {
	case reflect.Float64:
		if f := v.Float(); f-f != 0 {
			return path
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if at := notFinite(v.Field(i), path+"."+v.Type().Field(i).Name); at != "" {
				return at
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			if at := notFinite(v.Index(i), path+"["+strconv.Itoa(i)+"]"); at != "" {
				return at
			}
		}
	case reflect.Pointer:
		if !v.IsNil() {
			return notFinite(v.Elem(), path)
		}
	}
	return ""
}

func TestDemoIsGreenhouse(t *testing.T) {
	const name = "../../testdata/jobs/greenhouse.toml"
	if !bytes.Equal(read(t, name), DemoText()) {
		t.Errorf("%s is not the built-in demo", name)
	}
	if got := Demo().Loads[0].Name; got != "vent latch" {
		t.Errorf("the demo's load is %q", got)
	}
}

// TestHuge reads texts that are too large, too long or too deep.
func TestHuge(t *testing.T) {
	rail := "[[rail]]\nname = \"bench\"\nvoltage = \"12 V\"\n"
	loads := func(n int) string {
		var b strings.Builder
		b.WriteString(rail)
		for i := range n {
			b.WriteString("[[load]]\nname = \"l" + strconv.Itoa(i) + "\"\nkind = \"resistive\"\nrail = \"bench\"\ncurrent = \"1 A\"\n")
		}
		return b.String()
	}
	deep := func(n int) string {
		return rail + "title = " + strings.Repeat("[", n) + strings.Repeat("]", n) + "\n"
	}
	for _, tt := range []struct{ name, text, want string }{
		{"loads", loads(maxLoads + 1), "load: found 1001 loads, expected at most 1000"},
		{"bytes", strings.Repeat("# a comment of no use at all\n", 32<<20/29+1), "expected at most 33554432 (32 MiB)"},
		{"deep", deep(100_000), "deep: "},
		{"name", strings.Replace(loads(1), "l0", strings.Repeat("l", 1<<20), 1), "load[0].name: found 1048576 characters, expected at most 80"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, j, errs := Read(tt.name, []byte(tt.text))
			if j != nil || !errs.Fatal() {
				t.Fatal("accepted")
			}
			if !strings.Contains(errs.Error(), strings.TrimPrefix(tt.want, "deep: ")) || len(errs.Error()) > 1000 {
				t.Errorf("got %.2000s, want %s", errs.Error(), tt.want)
			}
		})
	}
	if _, j, errs := Read("most", []byte(loads(maxLoads))); j == nil {
		t.Errorf("%d loads refused: %v", maxLoads, errs)
	}
}

// FuzzJob reads any text as a job: no crash, and what is accepted is sound.
func FuzzJob(f *testing.F) {
	for _, pattern := range []string{"jobs/*.toml", "bad/jobs/*.toml"} {
		for _, name := range files(f, pattern, 8) {
			f.Add(read(f, name))
		}
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		spec, j, errs := Read("fuzz", text, topologies...)
		if (j == nil) != errs.Fatal() {
			t.Fatalf("job is nil: %v; errors: %v", j == nil, errs)
		}
		for _, c := range strings.ReplaceAll(errs.Error(), "\n", "") {
			if c < ' ' || c == 0x7f {
				t.Fatalf("a control character in %q", errs.Error())
			}
		}
		if j == nil {
			return
		}
		roundTrip(t, spec, j)
		for i := range j.Loads {
			s := j.Loads[i].Scaled(1.5)
			if at := notFinite(reflect.ValueOf(s), "scaled"); at != "" {
				t.Errorf("%s is not finite", at)
			}
		}
	})
}

// A stage as built of many keys is written as one writes it by hand: a table, a line
// for each key.
func TestBuiltIsWrittenAsATable(t *testing.T) {
	name := filepath.Join("..", "..", "testdata", "jobs", "built-latch.toml")
	spec, errs := Decode(name, read(t, name))
	if errs.Fatal() {
		t.Fatal(errs)
	}
	full := Clone(spec)
	for _, f := range [][2]string{{"r_gate", "100 ohm"}, {"clamp", "none"}, {"clamp_placement", "load"}} {
		if err := Set(full, "load[0].built."+f[0], f[1]); err != nil {
			t.Fatal(err)
		}
	}
	text := string(Encode(full))
	if !strings.Contains(text, "\n[load.built]\ntopology = \"npn-low\"\n") {
		t.Errorf("written as\n%s", text)
	}
	again, errs := Decode("again", []byte(text))
	if errs.Fatal() || Digest(again) != Digest(full) {
		t.Errorf("read back as another job: %v", errs)
	}
}
