package house

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/topology"
)

// block is a fenced block of a Markdown file.
type block struct {
	lang  string
	lines []string
	from  int // index of the first line within the file's
	told  string
}

var commandOf = regexp.MustCompile("^<!-- output of: (.*) -->$")

// blocks are the fenced blocks of a text; told is the command in the comment
// right above one.
func blocks(text string) (out []block) {
	lines := strings.Split(text, "\n")
	for i := 0; i < len(lines); i++ {
		lang, ok := strings.CutPrefix(lines[i], "```")
		if !ok {
			continue
		}
		b := block{lang: lang, from: i + 1}
		if i > 0 {
			if m := commandOf.FindStringSubmatch(lines[i-1]); m != nil {
				b.told = m[1]
			}
		}
		for i++; i < len(lines) && lines[i] != "```"; i++ {
			b.lines = append(b.lines, lines[i])
		}
		out = append(out, b)
	}
	return out
}

func withoutBlocks(text string) string {
	var out []string
	in := false
	for _, l := range strings.Split(text, "\n") {
		if strings.HasPrefix(l, "```") {
			in = !in
		} else if !in {
			out = append(out, l)
		}
	}
	return strings.Join(out, "\n")
}

// The two commands of a fresh machine stand in the first 40 lines.
func TestReadmeBegins(t *testing.T) {
	lines := strings.Split(read(t, "README.md"), "\n")
	if !strings.HasPrefix(lines[0], "# pinhoist") {
		t.Errorf("the first line is %q", lines[0])
	}
	head := strings.Join(lines[:40], "\n")
	var commands []string
	for _, b := range blocks(head) {
		if b.lang == "sh" {
			commands = append(commands, b.lines...)
		}
	}
	if want := []string{"go run ./cmd/pinhoist rank", "go test ./..."}; !slices.Equal(commands, want) {
		t.Errorf("the commands are %q, the build reads %q", commands, want)
	}
}

// Examples of jobs and parts in README.md are accepted as they stand.
func TestReadmeExamples(t *testing.T) {
	jobs, parts := 0, 0
	for _, b := range blocks(read(t, "README.md")) {
		text := []byte(strings.Join(b.lines, "\n") + "\n")
		switch {
		case b.lang != "toml":
			continue
		case strings.Contains(string(text), "[[load]]"):
			jobs++
			var ids []string
			for _, x := range topology.All() {
				ids = append(ids, x.ID())
			}
			if _, _, errs := job.Read("README.md", text, ids...); len(errs) > 0 {
				t.Errorf("the job at line %d: %v", b.from, errs)
			}
		default:
			parts++
			sources, err := catalog.EmbeddedSources()
			if err != nil {
				t.Fatal(err)
			}
			if _, errs := catalog.Load(append(sources, catalog.Source{Name: "README.md", Text: text})); len(errs) > 0 {
				t.Errorf("the parts at line %d: %v", b.from, errs)
			}
		}
	}
	if jobs == 0 || parts == 0 {
		t.Errorf("%d jobs and %d parts in README.md", jobs, parts)
	}
}

// What README.md shows of the program's output is what it prints. UPDATE_README
// in the environment writes it anew.
func TestReadmeOutput(t *testing.T) {
	text := read(t, "README.md")
	lines := strings.Split(text, "\n")
	shown := 0
	program := filepath.Join(t.TempDir(), "pinhoist")
	command(t, "go", "build", "-o", program, "./cmd/pinhoist")
	dir := t.TempDir()
	for _, b := range blocks(text) {
		if b.lang == "toml" {
			writeExample(t, dir, b)
		}
	}
	for _, b := range blocks(text) {
		if b.told == "" {
			continue
		}
		shown++
		words := word.FindAllString(b.told, -1)
		for i := range words {
			words[i] = strings.Trim(words[i], "'")
		}
		if len(words) < 2 || words[0] != "pinhoist" || len(b.lines) == 0 {
			t.Errorf("line %d: output of %q", b.from, b.told)
			continue
		}
		c := exec.Command(program, words[1:]...)
		c.Dir, c.Env = dir, append(os.Environ(), "TERM=dumb")
		out, err := c.Output()
		var exit *exec.ExitError
		if err != nil && (!errors.As(err, &exit) || exit.ExitCode() != 1) {
			t.Errorf("%s: %v", b.told, err)
			continue
		}
		got := strings.Split(strings.TrimRight(string(out), "\n"), "\n")
		n := len(b.lines)
		cut := b.lines[n-1] == "[...]"
		if cut {
			n--
		}
		at := slices.Index(got, b.lines[0])
		if at < 0 || at+n > len(got) {
			t.Errorf("%s: %q with %d lines is not in the output:\n%s", b.told, b.lines[0], n, out)
			continue
		}
		if os.Getenv("UPDATE_README") != "" {
			copy(lines[b.from:], got[at:at+n])
			continue
		}
		for i := range n {
			if got[at+i] != b.lines[i] {
				t.Errorf("README.md:%d: found %q, the program prints %q; run: UPDATE_README=1 go test ./internal/house", b.from+i+1, b.lines[i], got[at+i])
				break
			}
		}
	}
	if shown < 4 {
		t.Errorf("README.md shows %d outputs", shown)
	}
	if os.Getenv("UPDATE_README") != "" {
		if err := os.WriteFile(filepath.Join(root, "README.md"), []byte(strings.Join(lines, "\n")), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// word is a word of a command, or several in quotes.
var word = regexp.MustCompile(`'[^']*'|\S+`)

var fileComment = regexp.MustCompile(`^# (\w+\.toml)\b`)

// writeExample writes an example under the name in its first line.
func writeExample(t *testing.T, dir string, b block) {
	t.Helper()
	m := fileComment.FindStringSubmatch(b.lines[0])
	if m == nil {
		t.Errorf("README.md:%d: an example without a file name in its first line", b.from+1)
		return
	}
	if err := os.WriteFile(filepath.Join(dir, m[1]), []byte(strings.Join(b.lines, "\n")+"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
}

// TestReadmeTellsEveryKeyOfAJob holds the table of keys against those that are decoded.
func TestReadmeTellsEveryKeyOfAJob(t *testing.T) {
	keys := map[string]bool{}
	for _, m := range regexp.MustCompile("key:\"([a-z_0-9]+)\"").FindAllStringSubmatch(read(t, "internal/job/spec.go"), -1) {
		keys[m[1]] = true
	}
	_, table, ok := strings.Cut(read(t, "README.md"), "\n| where | keys |\n")
	table, _, ends := strings.Cut(table, "\n\n")
	if !ok || !ends || len(keys) < 100 {
		t.Fatalf("no table of keys, or only %d keys", len(keys))
	}
	told := map[string]bool{}
	for _, m := range regexp.MustCompile("`([a-z_0-9]+)`").FindAllStringSubmatch(table, -1) {
		told[m[1]] = true
		if !keys[m[1]] {
			t.Errorf("%s is no key of a job", m[1])
		}
	}
	for k := range keys {
		if !told[k] && k != "built" {
			t.Errorf("README.md does not tell the key %s", k)
		}
	}
}
