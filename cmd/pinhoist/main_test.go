package main

import (
	"bytes"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/rogpeppe/go-internal/testscript"
)

// programs are what this test binary can be, by the name that it is called by.
var programs = map[string]func(){"pinhoist": main}

func TestMain(m *testing.M) {
	testscript.Main(m, programs)
}

// The command as a person would type it: testdata/script holds one file a
// subject.
func TestScripts(t *testing.T) {
	dir := filepath.Join("..", "..", "testdata", "script")
	files, err := filepath.Glob(filepath.Join(dir, "*.txtar"))
	if err != nil || len(files) == 0 {
		t.Fatal("no scripts", err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 dir,
		RequireExplicitExec: true,
		UpdateScripts:       os.Getenv("UPDATE_SCRIPTS") != "",
		Setup: func(env *testscript.Env) error {
			env.Setenv("TERM", "dumb")
			env.Setenv("ESC", "\x1b")
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"code": exitCode, "narrow": narrow},
	})
}

// exitCode runs a command that must end with an exact exit code: code 2 pinhoist ...
func exitCode(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: code N command args...")
	}
	err := ts.Exec(args[1], args[2:]...)
	got := "0"
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		got = itoa(exit.ExitCode())
	} else if err != nil {
		ts.Fatalf("%v", err)
	}
	if got != args[0] {
		ts.Fatalf("exit code %s, want %s", got, args[0])
	}
}

func itoa(n int) string {
	if n < 0 {
		return "signal"
	}
	return string(rune('0' + n%10))
}

// narrow demands that no line of a file or of stdout is wider than 80.
func narrow(ts *testscript.TestScript, neg bool, args []string) {
	for _, line := range strings.Split(ts.ReadFile(args[0]), "\n") {
		if len([]rune(line)) > 80 {
			ts.Fatalf("wider than 80: %q", line)
		}
	}
}

// asProgram returns a command that runs this test binary as pinhoist.
func asProgram(t *testing.T, args ...string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), "pinhoist")
	if err := os.Symlink(self, name); err != nil {
		t.Fatal(err)
	}
	c := exec.Command(name, args...)
	c.Env = append(os.Environ(), "TERM=xterm-256color", "NO_COLOR=")
	return c
}

// On a terminal that answers nothing, help comes at once and no escape code is
// sent: the screen toolkit must not ask for the background colour.
func TestHelpAsksTheTerminalNothing(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Log("no pseudo-terminals here")
		return
	}
	c := asProgram(t, "--help")
	start := time.Now()
	f, err := pty.Start(c)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	out, _ := io.ReadAll(f) // ends with an error when the program ends
	if err := c.Wait(); err != nil {
		t.Error(err)
	}
	if took := time.Since(start); took > 3*time.Second {
		t.Errorf("help took %v", took)
	}
	if bytes.ContainsRune(out, 0x1b) {
		t.Errorf("escape codes in %q", out)
	}
	if !bytes.Contains(out, []byte("pinhoist")) {
		t.Errorf("no help in %q", out)
	}
}

// Colours only where they are wanted: on a terminal, not with NO_COLOR, always
// when told.
func TestColour(t *testing.T) {
	for _, c := range []struct {
		name     string
		terminal bool
		env      string
		args     []string
		want     bool
	}{
		{"piped", false, "NO_COLOR=", nil, false},
		{"terminal", true, "NO_COLOR=", nil, true},
		{"terminal, NO_COLOR", true, "NO_COLOR=1", nil, false},
		{"terminal, never", true, "NO_COLOR=", []string{"--color", "never"}, false},
		{"piped, always", false, "NO_COLOR=", []string{"--color", "always"}, true},
	} {
		cmd := asProgram(t, append([]string{"rank"}, c.args...)...)
		cmd.Env = append(cmd.Env, c.env)
		out := output(t, cmd, c.terminal)
		if got := bytes.ContainsRune(out, 0x1b); got != c.want {
			t.Errorf("%s: escape codes %v, want %v in %q", c.name, got, c.want, out)
		}
	}
}

func output(t *testing.T, cmd *exec.Cmd, terminal bool) []byte {
	t.Helper()
	if !terminal {
		out, _ := cmd.Output() // the exit code is not the subject
		return out
	}
	f, err := pty.Start(cmd)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	out, _ := io.ReadAll(f)
	cmd.Wait()
	return out
}

// A fault of our own ends in one line and exit code 3, not in a trace.
func TestPanicIsOneLine(t *testing.T) {
	var out, errs bytes.Buffer
	a := &app{in: strings.NewReader(""), out: &out, err: &errs, terminal: true, screen: func(*task) error { panic("broken\nin two") }}
	if code := a.run(nil); code != exitInternal {
		t.Errorf("exit code %d", code)
	}
	if got := errs.String(); strings.Count(got, "\n") != 1 || !strings.Contains(got, "broken") || strings.Contains(got, "goroutine") {
		t.Errorf("%q", got)
	}
	err := parallel(3, func(i int) error {
		if i == 1 {
			panic("worker")
		}
		return nil
	})
	if err == nil || !strings.Contains(err.Error(), "worker") {
		t.Errorf("a worker's panic gives %v", err)
	}
}

// What cannot be written is an internal fault, not a success.
func TestOutputFails(t *testing.T) {
	var errs bytes.Buffer
	a := &app{in: strings.NewReader(""), out: closed{}, err: &errs}
	if code := a.run([]string{"parts"}); code != exitInternal || errs.Len() == 0 {
		t.Errorf("exit code %d, %q", code, errs.String())
	}
}

type closed struct{}

func (closed) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }

// A real session: the bare command on a terminal opens the screen on the
// built-in job, shows it, and Ctrl+C leaves the terminal as it was.
func TestScreenOpensAndLeaves(t *testing.T) {
	c := asProgram(t)
	f, err := pty.StartWithSize(c, &pty.Winsize{Rows: 24, Cols: 80})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	kill := time.AfterFunc(20*time.Second, func() { c.Process.Kill() })
	defer kill.Stop()
	var out bytes.Buffer
	buf := make([]byte, 4096)
	asked := false
	for {
		n, err := f.Read(buf)
		out.Write(buf[:n])
		if err != nil {
			break
		}
		if !asked && bytes.Contains(out.Bytes(), []byte("vent latch")) {
			asked = true
			if _, err := f.Write([]byte{3}); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := c.Wait(); err != nil {
		t.Errorf("%v; the screen was\n%q", err, out.String())
	}
	if !asked {
		t.Fatalf("the job never appeared in %q", out.String())
	}
	const leaveAlternateScreen = "\x1b[?1049l"
	if !bytes.Contains(out.Bytes(), []byte(leaveAlternateScreen)) {
		t.Errorf("the terminal is left as %q", out.String())
	}
}
