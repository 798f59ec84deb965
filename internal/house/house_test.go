// Package house holds the tests that keep the guides true: who may import whom,
// which checks a topology owes, that folders and commands named in README.md
// and DEVELOPERS.md are there. It has no code of its own.
package house

import (
	"bufio"
	"bytes"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const (
	root       = "../.."
	modulePath = "example.org/pinhoist"
)

func read(t *testing.T, name string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(root, name))
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// tableRows are the rows of the first Markdown table after a heading, without
// its head, cells trimmed.
func tableRows(t *testing.T, text, heading string) [][]string {
	t.Helper()
	_, after, ok := strings.Cut(text, "\n"+heading+"\n")
	if !ok {
		t.Fatalf("DEVELOPERS.md has no heading %q", heading)
	}
	var rows [][]string
	inTable := false
	for _, line := range strings.Split(after, "\n") {
		if !strings.HasPrefix(line, "|") {
			if inTable || strings.HasPrefix(line, "#") {
				break
			}
			continue
		}
		inTable = true
		cells := strings.Split(strings.Trim(line, "|"), "|")
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
		}
		rows = append(rows, cells)
	}
	if len(rows) < 3 {
		t.Fatalf("the table under %q is empty", heading)
	}
	return append(rows[:1:1], rows[2:]...)
}

var backticked = regexp.MustCompile("`([^`]+)`")

func codes(s string) (out []string) {
	for _, m := range backticked.FindAllStringSubmatch(s, -1) {
		out = append(out, m[1])
	}
	return out
}

// house is the rule of imports as the guide states it.
type house struct {
	layer  map[string]int // package path below the module
	equals [][2]string    // importer, imported: allowed although of one layer
}

var equalRule = regexp.MustCompile("among equals only `([^`]+)` imports `([^`]+)`")

func readHouse(t *testing.T) house {
	t.Helper()
	guide := read(t, "DEVELOPERS.md")
	h := house{layer: map[string]int{}}
	for _, row := range tableRows(t, guide, "## The house")[1:] {
		n, err := strconv.Atoi(row[0])
		if err != nil || len(row) != 4 {
			t.Fatalf("a row of the house table is %q", row)
		}
		for _, p := range codes(row[1]) {
			if _, twice := h.layer[p]; twice {
				t.Errorf("%s stands twice in the house table", p)
			}
			h.layer[p] = n
		}
	}
	for _, m := range equalRule.FindAllStringSubmatch(strings.ReplaceAll(guide, "\n", " "), -1) {
		h.equals = append(h.equals, [2]string{m[1], m[2]})
	}
	if len(h.equals) != 2 {
		t.Errorf("the guide allows %d imports among equals, two are agreed", len(h.equals))
	}
	return h
}

// file is one Go file of the module with what it imports.
type file struct {
	name, pkg string // path below the module, and its package's
	imports   []string
	test      bool // a test file
	outside   bool // of an outside test package, x_test
}

func goFiles(t *testing.T) (out []file) {
	t.Helper()
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if b := d.Name(); name != root && (b == "testdata" || strings.HasPrefix(b, ".") || strings.HasPrefix(b, "_")) {
				return fs.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(name, ".go") {
			return nil
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		rel := filepath.ToSlash(strings.TrimPrefix(name, root+string(filepath.Separator)))
		f := file{name: rel, pkg: path.Dir(rel), test: strings.HasSuffix(rel, "_test.go"), outside: strings.HasSuffix(parsed.Name.Name, "_test")}
		for _, i := range parsed.Imports {
			p, err := strconv.Unquote(i.Path.Value)
			if err != nil {
				return err
			}
			f.imports = append(f.imports, p)
		}
		out = append(out, f)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(out) < 100 {
		t.Fatalf("only %d Go files found", len(out))
	}
	return out
}

// broken tells what is wrong with one import, "" where nothing is.
func (h house) broken(f *file, imported string) string {
	own, ok := strings.CutPrefix(imported, modulePath+"/")
	if !ok {
		return ""
	}
	if f.outside {
		return "" // an outside test looks at its package as any user would
	}
	from, at := h.layer[f.pkg]
	to, known := h.layer[own]
	switch {
	case !at || !known:
		return "" // told by TestEveryPackageHasALayer
	case to < from, slices.Contains(h.equals, [2]string{f.pkg, own}):
		return ""
	}
	return "layer " + strconv.Itoa(from) + " imports " + own + " of layer " + strconv.Itoa(to)
}

func TestEveryPackageHasALayer(t *testing.T) {
	h := readHouse(t)
	seen := map[string]bool{}
	for _, f := range goFiles(t) {
		seen[f.pkg] = true
		if _, ok := h.layer[f.pkg]; !ok {
			t.Errorf("%s: %s stands in no row of the house table of DEVELOPERS.md", f.name, f.pkg)
		}
	}
	for _, p := range sorted(h.layer) {
		if !seen[p] {
			t.Errorf("%s of the house table has no Go file", p)
		}
	}
}

func TestImportsGoDown(t *testing.T) {
	h := readHouse(t)
	for _, f := range goFiles(t) {
		for _, i := range f.imports {
			if why := h.broken(&f, i); why != "" {
				t.Errorf("%s: %s", f.name, why)
			}
		}
	}
}

// The rule itself can fail: upwards, sideways, and the one sideways that may.
func TestRuleOfImports(t *testing.T) {
	h := house{layer: map[string]int{"a": 2, "b": 2, "c": 1}, equals: [][2]string{{"a", "b"}}}
	for _, c := range []struct {
		from, to string
		outside  bool
		wrong    bool
	}{
		{"a", "c", false, false}, {"c", "a", false, true}, {"a", "b", false, false}, {"b", "a", false, true}, {"c", "a", true, false},
	} {
		f := file{pkg: c.from, outside: c.outside}
		if got := h.broken(&f, modulePath+"/"+c.to) != ""; got != c.wrong {
			t.Errorf("%s imports %s: wrong is %v", c.from, c.to, got)
		}
	}
}

// pure packages do no input or output and read no clock.
var pure = []string{"internal/engine", "internal/topology", "internal/device", "internal/load", "internal/clamp", "internal/thermal", "internal/waveform", "internal/design", "internal/drawing"}

func TestPurePackages(t *testing.T) {
	banned := func(p string) bool {
		return slices.Contains([]string{"os", "time", "net", "io", "io/fs", "io/ioutil", "log", "syscall", "unsafe", "bufio", "embed", "plugin"}, p) ||
			strings.HasPrefix(p, "net/") || strings.HasPrefix(p, "os/") || strings.HasPrefix(p, "math/rand") || strings.HasPrefix(p, "log/")
	}
	n := 0
	for _, f := range goFiles(t) {
		if f.test || !slices.Contains(pure, f.pkg) {
			continue
		}
		n++
		for _, i := range f.imports {
			if banned(i) {
				t.Errorf("%s imports %s: %s does no input or output and reads no clock", f.name, i, f.pkg)
			}
			if !strings.HasPrefix(i, modulePath) && strings.Contains(strings.Split(i, "/")[0], ".") {
				t.Errorf("%s imports %s: the electrical engine is our own", f.name, i)
			}
		}
	}
	if n < 20 {
		t.Fatalf("only %d files of pure packages found", n)
	}
}

// The engine and the catalogue must serve programs that have no screen.
func TestNoScreenBelow(t *testing.T) {
	for _, pkg := range []string{"catalog", "internal/engine", "internal/sheet", "internal/job"} {
		deps := command(t, "go", "list", "-deps", "./"+pkg)
		if !strings.Contains(deps, modulePath+"/"+pkg) {
			t.Fatalf("go list gives %q", deps)
		}
		for _, d := range strings.Fields(deps) {
			if strings.Contains(d, "charmbracelet") || strings.Contains(d, "muesli/termenv") || strings.Contains(d, "spf13/cobra") {
				t.Errorf("%s reaches %s", pkg, d)
			}
		}
	}
}

func command(t *testing.T, name string, args ...string) string {
	t.Helper()
	c := exec.Command(name, args...)
	c.Dir = root
	var errs bytes.Buffer
	c.Stderr = &errs
	out, err := c.Output()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", name, strings.Join(args, " "), err, errs.String())
	}
	return string(out)
}

// The toolkit asks the terminal a question when it is initialised, unless
// termsetup was initialised before: packages are, in the order of their paths.
func TestTermsetupSortsFirst(t *testing.T) {
	var toolkits []string
	linked := false
	for _, f := range goFiles(t) {
		for _, i := range f.imports {
			if strings.HasPrefix(i, "github.com/charmbracelet/bubble") {
				toolkits = append(toolkits, i)
			}
		}
		if f.pkg == "cmd/pinhoist" && slices.Contains(f.imports, modulePath+"/internal/termsetup") {
			linked = true
		}
		if f.pkg == "internal/termsetup" && !f.test && !slices.Equal(f.imports, []string{"github.com/charmbracelet/lipgloss"}) {
			t.Errorf("%s imports %q: nothing but the style package", f.name, f.imports)
		}
	}
	if !linked {
		t.Error("the command does not import internal/termsetup")
	}
	for _, k := range toolkits {
		if modulePath+"/internal/termsetup" > k {
			t.Errorf("internal/termsetup sorts after %s", k)
		}
	}
	if len(toolkits) == 0 {
		t.Error("no file imports the screen toolkit")
	}
}

// ---- files and folders ----

// allowedTop are the files and folders at the top; whatever begins with a dot
// may stand there too.
var allowedTop = []string{"cmd", "tui", "catalog", "internal", "testdata", "README.md", "DEVELOPERS.md", "go.mod", "go.sum"}

func TestNothingStrayAtTheTop(t *testing.T) {
	ignored := ignorePatterns(t)
	entries, err := os.ReadDir(root)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		n := e.Name()
		if strings.HasPrefix(n, ".") || slices.Contains(allowedTop, n) || slices.ContainsFunc(ignored, func(p string) bool { ok, _ := path.Match(p, n); return ok }) {
			continue
		}
		t.Errorf("%s at the top: only %s belong there", n, strings.Join(allowedTop, ", "))
	}
	for _, n := range allowedTop {
		if _, err := os.Stat(filepath.Join(root, n)); err != nil {
			t.Error(err)
		}
	}
}

func ignorePatterns(t *testing.T) (out []string) {
	for _, l := range strings.Split(read(t, ".gitignore"), "\n") {
		if p := strings.TrimPrefix(strings.TrimSpace(l), "/"); p != "" && !strings.HasPrefix(p, "#") && !strings.Contains(p, "/") {
			out = append(out, p)
		}
	}
	return out
}

var pathLike = regexp.MustCompile(`^(cmd|tui|catalog|internal|testdata|\.ci)(/[\w.*-]+)*/?$`)

// Folders and files that the guides name are there.
func TestNamedPathsExist(t *testing.T) {
	for _, guide := range []string{"README.md", "DEVELOPERS.md"} {
		n := 0
		for _, c := range codes(withoutBlocks(read(t, guide))) {
			if !pathLike.MatchString(c) {
				continue
			}
			n++
			if found, err := filepath.Glob(filepath.Join(root, c)); err != nil || len(found) == 0 {
				t.Errorf("%s names %s, which is not there", guide, c)
			}
		}
		if guide == "DEVELOPERS.md" && n < 20 {
			t.Errorf("%s names %d paths only", guide, n)
		}
	}
}

// Every direct dependency has its reason in the guide, and no other is listed.
func TestDependenciesHaveReasons(t *testing.T) {
	listed := map[string]bool{}
	for _, row := range tableRows(t, read(t, "DEVELOPERS.md"), "## Dependencies")[1:] {
		for _, c := range codes(row[0]) {
			listed[c] = true
		}
		if len(row) < 2 || len(row[1]) < 10 {
			t.Errorf("%s has no reason", row[0])
		}
	}
	direct := map[string]bool{}
	s := bufio.NewScanner(strings.NewReader(read(t, "go.mod")))
	for s.Scan() {
		f := strings.Fields(strings.TrimPrefix(strings.TrimSpace(s.Text()), "require "))
		if len(f) >= 2 && strings.Contains(f[0], ".") && strings.HasPrefix(f[1], "v") && !strings.Contains(s.Text(), "// indirect") {
			direct[f[0]] = true
		}
	}
	for _, d := range sorted(direct) {
		if !listed[d] {
			t.Errorf("%s of go.mod has no reason in DEVELOPERS.md", d)
		}
	}
	for _, d := range sorted(listed) {
		if !direct[d] {
			t.Errorf("%s of DEVELOPERS.md is no direct dependency", d)
		}
	}
	if len(direct) == 0 {
		t.Error("no dependency found in go.mod")
	}
}

// Code that is not finished does not land. The words are put together here so
// that this file does not hold them.
func TestNothingLeftOver(t *testing.T) {
	words := []string{"TO" + "DO", "FIX" + "ME", "XX" + "X", "t.Sk" + "ip(", "t.Skip" + "Now(", "not impl" + "emented", "../sh" + "ared", "/wo" + "rk/"}
	for _, f := range goFiles(t) {
		text := read(t, f.name)
		for _, w := range words {
			if i := strings.Index(text, w); i >= 0 {
				t.Errorf("%s:%d: %q", f.name, 1+strings.Count(text[:i], "\n"), w)
			}
		}
	}
}

func sorted[V any](m map[string]V) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}
