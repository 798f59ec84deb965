package house

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/pinhoist/catalog"
	"example.org/pinhoist/internal/job"
	"example.org/pinhoist/internal/topology"
	"example.org/pinhoist/tui"
)

// screenOf is the comment above a screen: its size and the keys that lead there.
var screenOf = regexp.MustCompile(`^<!-- screen (\d+)x(\d+) after: (.*) -->$`)

// The screens in README.md are those of the program, as it shows them without colours for
// the job and the catalogue that are built in. UPDATE_README in the environment takes them
// anew.
func TestReadmeScreens(t *testing.T) {
	text := read(t, "README.md")
	lines := strings.Split(text, "\n")
	var out []string
	shown := 0
	for i := 0; i < len(lines); i++ {
		out = append(out, lines[i])
		m := screenOf.FindStringSubmatch(lines[i])
		if m == nil || i+1 == len(lines) || lines[i+1] != "```" {
			continue
		}
		shown++
		var w, h int
		if _, err := fmt.Sscan(m[1]+" "+m[2], &w, &h); err != nil {
			t.Fatal(err)
		}
		got := screen(t, w, h, strings.Fields(m[3])...)
		from := i + 2
		for i = from; i < len(lines) && lines[i] != "```"; i++ {
		}
		if has := strings.Join(lines[from:i], "\n"); has != got && os.Getenv("UPDATE_README") == "" {
			t.Errorf("README.md:%d shows\n%s\nthe screen is\n%s\nrun: UPDATE_README=1 go test ./internal/house", from, has, got)
		}
		out = append(append(out, "```"), strings.Split(got, "\n")...)
		out = append(out, "```")
	}
	if shown < 3 {
		t.Errorf("README.md shows %d screens", shown)
	}
	if os.Getenv("UPDATE_README") != "" {
		if err := os.WriteFile(filepath.Join(root, "README.md"), []byte(strings.Join(out, "\n")), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// screen is what the program shows on w by h cells after some keys.
func screen(t *testing.T, w, h int, keys ...string) string {
	t.Helper()
	cat, err := catalog.Embedded()
	if cat == nil {
		t.Fatal(err)
	}
	opt := tui.Options{Spec: job.Demo(), Catalog: cat, Policies: catalog.Policies(), NoColor: true}
	for _, topo := range topology.All() {
		opt.Topologies = append(opt.Topologies, topo.ID())
	}
	m := tui.New(opt)
	var do func(tea.Cmd)
	send := func(msg tea.Msg) {
		_, cmd := m.Update(msg)
		do(cmd)
	}
	do = func(cmd tea.Cmd) {
		if cmd == nil {
			return
		}
		switch msg := cmd().(type) {
		case nil, tea.QuitMsg:
		case tea.BatchMsg:
			for _, c := range msg {
				do(c)
			}
		default:
			send(msg)
		}
	}
	do(m.Init())
	send(tea.WindowSizeMsg{Width: w, Height: h})
	named := map[string]tea.KeyType{"Tab": tea.KeyTab, "Enter": tea.KeyEnter, "Down": tea.KeyDown, "Right": tea.KeyRight, "End": tea.KeyEnd}
	for _, k := range keys {
		if kind, ok := named[k]; ok {
			send(tea.KeyMsg{Type: kind})
			continue
		}
		send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k)})
	}
	return strings.TrimRight(m.View(), "\n")
}
