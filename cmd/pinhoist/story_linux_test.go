package main

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/hinshun/vt10x"
	"golang.org/x/sys/unix"
)

// A story is a person at a terminal: the program as it is built, on a real
// pseudo-terminal, its screen kept by an emulator. Keys go in as bytes, and what is
// told of is what stands on the screen, and what stands on the disk. Nothing waits for
// a fixed time: a step waits until the screen shows what it asks for, and fails with
// the screen where that never comes. The terminal answers no question.
type story struct {
	t    *testing.T
	home string // a folder with nothing in it: the person's, and where the program starts
	env  []string
	as   string // the name of the program, as TestMain knows it

	cols, rows int
	cmd        *exec.Cmd
	terminal   *os.File // its side of the pseudo-terminal
	program    *os.File // the program's side, to see what it has not read yet
	ended      chan error
	drained    chan struct{}

	mu      sync.Mutex
	screen  vt10x.Terminal
	raw     []byte
	whole   bool          // no frame is half drawn
	changed chan struct{} // closed at the next output
}

// frameEnd is how the toolkit ends a frame: it puts the cursor on the last line. A
// terminal may be read in the middle of one.
var frameEnd = regexp.MustCompile("\x1b\\[[0-9]*;[0-9]*H$")

// questions are what a program asks of a terminal: its attributes, where its cursor is,
// its colours, its modes, its name, its keys.
var questions = regexp.MustCompile("\x1b\\[[>=]?[0-9]*c|\x1b\\[\\??[56]n|\x1b\\][0-9;]*\\?|\x1b\\[\\??[0-9]+\\$p|\x1b\\[>[0-9]*q|\x1b\\[\\?u|\x1bP\\+q")

// hang is less than the toolkit would wait for an answer to its question, 5 s, and more
// than a busy machine takes for a first screen.
const hang = 4 * time.Second

// patience is how long a step may take. It is spent only by a step that fails.
const patience = 90 * time.Second

// Names under which this test binary is the program in a bad place.
const (
	smallDisk  = "pinhoist-small-disk"
	noOverride = "pinhoist-no-override"
)

func init() {
	programs[smallDisk], programs[noOverride] = onSmallDisk, boundByModes
}

// onSmallDisk is the program where no file may grow beyond a few bytes: a write fails
// half-way, with the error that the system gives for it.
func onSmallDisk() {
	signal.Ignore(syscall.SIGXFSZ)
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: 64, Max: 64}); err != nil {
		panic(err)
	}
	main()
}

// boundByModes is the program of one who may write only where the mode of a folder says
// so. Root may everywhere, and so loses that right first: out of what this thread can
// ever have, which the program that takes its place is bound by.
func boundByModes() {
	runtime.LockOSThread()
	if err := unix.Prctl(unix.PR_CAPBSET_DROP, unix.CAP_DAC_OVERRIDE, 0, 0, 0); err != nil && os.Geteuid() == 0 {
		panic(err)
	}
	self, err := os.Executable()
	if err == nil {
		err = syscall.Exec(self, append([]string{"pinhoist"}, os.Args[1:]...), os.Environ())
	}
	panic(err)
}

// aStory begins one, on a terminal of a size; the tour of the first start was seen.
func aStory(t *testing.T, cols, rows int) *story {
	t.Helper()
	t.Parallel()
	s := &story{t: t, home: t.TempDir(), as: "pinhoist", cols: cols, rows: rows}
	s.env = []string{"HOME=" + s.home, "XDG_STATE_HOME=" + s.state(), "XDG_DATA_HOME=" + s.home + "/data",
		"PATH=" + os.Getenv("PATH"), "TMPDIR=" + t.TempDir(), "GOCOVERDIR=" + t.TempDir(), "LC_ALL=C.UTF-8", "TERM=xterm-256color"}
	if err := (&state{dir: filepath.Join(s.state(), "pinhoist")}).TourDone(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.clear)
	return s
}

func (s *story) state() string { return filepath.Join(s.home, "state") }

// file writes a file of the person's.
func (s *story) file(name, text string) {
	s.t.Helper()
	if err := os.WriteFile(filepath.Join(s.home, name), []byte(text), 0o644); err != nil {
		s.t.Fatal(err)
	}
}

// read is what stands in a file of the person's.
func (s *story) read(name string) string {
	s.t.Helper()
	text, err := os.ReadFile(filepath.Join(s.home, name))
	if err != nil {
		s.fail("%v", err)
	}
	return string(text)
}

// holds demands texts of a file of the person's.
func (s *story) holds(name string, texts ...string) {
	s.t.Helper()
	have := s.read(name)
	for _, text := range texts {
		if !strings.Contains(have, text) {
			s.fail("%s does not hold %q but\n%s", name, text, have)
		}
	}
}

// start runs the program and waits for its first screen.
func (s *story) start(args ...string) {
	s.t.Helper()
	self, err := os.Executable()
	if err != nil {
		s.t.Fatal(err)
	}
	dir := s.t.TempDir()
	for program := range programs { // a name says what this binary is to be
		if err := os.Symlink(self, filepath.Join(dir, program)); err != nil {
			s.t.Fatal(err)
		}
	}
	if s.terminal, s.program, err = pty.Open(); err != nil {
		s.t.Fatal(err)
	}
	s.screen = vt10x.New(vt10x.WithSize(s.cols, s.rows))
	s.raw, s.whole, s.changed, s.ended, s.drained = nil, false, make(chan struct{}), make(chan error, 1), make(chan struct{})
	if err := pty.Setsize(s.terminal, &pty.Winsize{Cols: uint16(s.cols), Rows: uint16(s.rows)}); err != nil {
		s.t.Fatal(err)
	}
	s.cmd = exec.Command(filepath.Join(dir, s.as), args...)
	s.cmd.Dir, s.cmd.Env = s.home, s.env
	s.cmd.Stdin, s.cmd.Stdout, s.cmd.Stderr = s.program, s.program, s.program
	s.cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	if err := s.cmd.Start(); err != nil {
		s.t.Fatal(err)
	}
	go s.watch(s.terminal, s.drained)
	go func(cmd *exec.Cmd, program *os.File, ended chan error) {
		err := cmd.Wait()
		s.mu.Lock()
		program.Close() // the last one who has it: what was written is read, then it ends
		s.program = nil
		s.mu.Unlock()
		ended <- err
	}(s.cmd, s.program, s.ended)
	s.until("the program took the screen", func() bool { return bytes.Contains(s.raw, []byte(altScreenOn)) && s.row(0) != "" })
}

const (
	altScreenOn, altScreenOff = "\x1b[?1049h", "\x1b[?1049l"
	pasteOn, pasteOff         = "\x1b[?2004h", "\x1b[?2004l"
	cursorOn                  = "\x1b[?25h"
)

// watch puts on the screen what the program writes.
func (s *story) watch(from *os.File, drained chan struct{}) {
	defer close(drained)
	buf := make([]byte, 1<<16)
	kept := 0 // the beginning of a character that is not all there
	for {
		n, err := from.Read(buf[kept:])
		s.mu.Lock()
		s.raw = append(s.raw, buf[kept:kept+n]...)
		n += kept
		took, _ := s.screen.Write(buf[:n])
		kept = copy(buf, buf[took:n])
		s.whole = frameEnd.Match(s.raw[max(len(s.raw)-16, 0):])
		close(s.changed)
		s.changed = make(chan struct{})
		s.mu.Unlock()
		if err != nil {
			return
		}
	}
}

// until waits for a whole frame that shows what has to come. The condition is asked
// while the screen is held.
func (s *story) until(what string, true_ func() bool) {
	s.t.Helper()
	deadline := time.After(patience)
	for {
		s.mu.Lock()
		ok, changed := s.whole && true_(), s.changed
		s.mu.Unlock()
		if ok {
			return
		}
		select {
		case <-changed:
		case <-s.drained: // the program is gone, nothing more comes
			s.mu.Lock()
			ok := true_()
			s.mu.Unlock()
			if !ok {
				s.fail("never so: %s; the program has ended", what)
			}
			return
		case <-deadline:
			s.fail("never so: %s", what)
		}
	}
}

// row is a line of the screen as it is read, without what is blank at its end.
func (s *story) row(y int) string {
	cols, _ := s.screen.Size()
	line := make([]rune, cols)
	for x := range line {
		if line[x] = s.screen.Cell(x, y).Char; line[x] == 0 {
			line[x] = ' '
		}
	}
	return strings.TrimRight(string(line), " ")
}

func (s *story) lines() []string {
	_, rows := s.screen.Size()
	out := make([]string, rows)
	for y := range out {
		out[y] = s.row(y)
	}
	return out
}

// words is what stands on the screen with every run of blanks and every end of a line
// as one blank: how a person reads what is wrapped.
func (s *story) words() string {
	return strings.Join(strings.Fields(strings.Join(s.lines(), " ")), " ")
}

// frame is the screen as it is, drawn whole.
func (s *story) frame() (text string) {
	s.t.Helper()
	s.until("a whole frame", func() bool { text = strings.Join(s.lines(), "\n"); return true })
	return text
}

// look is the screen as it is now, however much is drawn of it.
func (s *story) look() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return strings.Join(s.lines(), "\n")
}

// fail ends the story with what was on the screen.
func (s *story) fail(format string, args ...any) {
	s.t.Helper()
	screen := ""
	if s.screen != nil {
		rule := strings.Repeat("=", s.cols)
		screen = fmt.Sprintf("\nthe screen:\n%s\n%s\n%s", rule, s.look(), rule)
	}
	s.t.Fatalf(format+"%s", append(args, screen)...)
}

// see waits until texts stand on the screen, all of them. A run of blanks in a text
// stands for any run of blanks, or the end of a line.
func (s *story) see(texts ...string) {
	s.t.Helper()
	for i := range texts {
		texts[i] = strings.Join(strings.Fields(texts[i]), " ")
	}
	s.until(fmt.Sprintf("the screen shows %q", texts), func() bool {
		words := s.words()
		return !slices.ContainsFunc(texts, func(text string) bool { return !strings.Contains(words, text) })
	})
}

// gone waits until none of the texts stands on the screen.
func (s *story) gone(texts ...string) {
	s.t.Helper()
	s.until(fmt.Sprintf("%q are gone from the screen", texts), func() bool {
		words := s.words()
		return !slices.ContainsFunc(texts, func(text string) bool { return strings.Contains(words, text) })
	})
}

// line waits until one line of the screen holds texts in this order, and returns it.
func (s *story) line(texts ...string) (found string) {
	s.t.Helper()
	for i := range texts {
		texts[i] = regexp.QuoteMeta(texts[i])
	}
	return s.match(strings.Join(texts, ".*"))
}

// match waits until a line of the screen is as a pattern says, and returns it.
func (s *story) match(pattern string) (found string) {
	s.t.Helper()
	like := regexp.MustCompile(pattern)
	s.until(fmt.Sprintf("a line like %q", pattern), func() bool {
		for _, line := range s.lines() {
			if like.MatchString(line) {
				found = line
				return true
			}
		}
		return false
	})
	return found
}

// colour waits for a text and returns the colour of its first character.
func (s *story) colour(text string) (colour vt10x.Color) {
	s.t.Helper()
	s.until(fmt.Sprintf("%q on one line", text), func() bool {
		for y, line := range s.lines() {
			if i := strings.Index(line, text); i >= 0 {
				colour = s.screen.Cell(len([]rune(line[:i])), y).FG
				return true
			}
		}
		return false
	})
	return colour
}

// The bytes that a terminal sends for a key.
var keyBytes = map[string]string{
	"up": "\x1b[A", "down": "\x1b[B", "right": "\x1b[C", "left": "\x1b[D", "home": "\x1b[H", "end": "\x1b[F", "pgup": "\x1b[5~", "pgdown": "\x1b[6~",
	"enter": "\r", "tab": "\t", "shift+tab": "\x1b[Z", "esc": "\x1b", "backspace": "\x7f", "space": " ",
	"f1": "\x1bOP", "f2": "\x1bOQ", "f3": "\x1bOR", "f4": "\x1bOS", "f5": "\x1b[15~", "f6": "\x1b[17~", "f7": "\x1b[18~", "f8": "\x1b[19~",
}

// press presses keys, one after another.
func (s *story) press(keys ...string) {
	s.t.Helper()
	for _, key := range keys {
		switch letter, ctrl := strings.CutPrefix(key, "ctrl+"); {
		case keyBytes[key] != "":
			s.send(keyBytes[key])
		case ctrl && len(letter) == 1:
			s.send(string(letter[0] & 0x1f))
		case len([]rune(key)) == 1:
			s.send(key)
		default:
			s.t.Fatalf("there is no key %q", key)
		}
	}
}

// cursor is the line that the cursor is on, "" where none is. It may only be asked for
// while the screen is held.
func (s *story) cursor() string {
	for _, line := range s.lines() {
		if at := strings.TrimLeft(line, " "); strings.HasPrefix(at, ">") && len(line)-len(at) <= 1 {
			return line
		}
	}
	return ""
}

var position = regexp.MustCompile(`━━ .* (\d+) of \d+`)

// where tells one place of the cursor from another: by its number where the screen
// numbers them, on a form by its label, else by its line.
func (s *story) where() string {
	form := false
	for _, line := range s.lines() {
		if at := position.FindStringSubmatch(line); at != nil {
			return at[1]
		}
		form = form || strings.HasPrefix(line, "━━ A part of your own")
	}
	if form {
		return fmt.Sprintf("%.24s", s.cursor()) // what is typed stands behind it
	}
	return s.cursor()
}

// to presses a key until the cursor is on a line with a text.
func (s *story) to(key, text string) {
	s.t.Helper()
	for {
		var here, was string
		s.until("a whole frame", func() bool { here, was = s.cursor(), s.where(); return true })
		if strings.Contains(here, text) {
			return
		}
		s.press(key)
		s.until(fmt.Sprintf("%s moves the cursor on towards %q", key, text), func() bool { return s.where() != was })
	}
}

// field goes down a form, once it is there, to a field by its label.
func (s *story) field(label string) {
	s.t.Helper()
	s.match("━━ (Job|A part of your own) ━━")
	s.to("down", "> "+label)
}

// choose goes through the choices of the field at the cursor to a word.
func (s *story) choose(word string) {
	s.t.Helper()
	for {
		var was string
		s.until("a whole frame", func() bool { was = s.cursor(); return true })
		if strings.Contains(was, "< "+word+" >") {
			return
		}
		s.press("right")
		s.until(fmt.Sprintf("another choice, towards %q", word), func() bool { return s.cursor() != was })
	}
}

// times is a key pressed n times.
func times(n int, key string) []string { return slices.Repeat([]string{key}, n) }

// write types a text, letter by letter, until it stands in the field at the cursor or
// behind what is asked.
func (s *story) write(text string) {
	s.t.Helper()
	for _, r := range text {
		s.send(string(r))
	}
	s.until(fmt.Sprintf("%q stands where it was typed", text), func() bool {
		return strings.Contains(s.cursor(), text) || strings.Contains(s.words(), text+"|")
	})
}

// fill empties the field at the cursor and types a text into it.
func (s *story) fill(text string) {
	s.t.Helper()
	s.press("ctrl+u")
	s.write(text)
}

// paste puts a text in at once, marked as pasted if the program has asked for that.
func (s *story) paste(text string) {
	s.t.Helper()
	s.mu.Lock()
	marks := bytes.LastIndex(s.raw, []byte(pasteOn)) > bytes.LastIndex(s.raw, []byte(pasteOff))
	s.mu.Unlock()
	if marks {
		text = "\x1b[200~" + text + "\x1b[201~"
	}
	s.send(text)
}

// send gives bytes to the program once it has read all that it was given before: a
// person is never so quick that two keys come as one.
func (s *story) send(keys string) {
	s.t.Helper()
	for deadline := time.Now().Add(patience); s.unread(); time.Sleep(200 * time.Microsecond) {
		if time.Now().After(deadline) {
			s.fail("the program does not read %q", keys)
		}
	}
	if _, err := s.terminal.WriteString(keys); err != nil {
		s.fail("the terminal is gone: %v", err)
	}
}

// unread reports whether keys wait for the program to read them.
func (s *story) unread() bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.program == nil {
		return false // it has ended, which the next step tells
	}
	keys := []unix.PollFd{{Fd: int32(s.program.Fd()), Events: unix.POLLIN}}
	_, err := unix.Poll(keys, 0)
	return err != nil || keys[0].Revents&unix.POLLIN != 0
}

// resize makes the terminal another size, as dragging its corner does.
func (s *story) resize(cols, rows int) {
	s.t.Helper()
	s.mu.Lock()
	s.screen.Resize(cols, rows)
	s.mu.Unlock()
	s.cols, s.rows = cols, rows
	if err := pty.Setsize(s.terminal, &pty.Winsize{Cols: uint16(cols), Rows: uint16(rows)}); err != nil {
		s.t.Fatal(err)
	}
}

// clipboard waits for a text that was given to the terminal's clipboard.
func (s *story) clipboard() (text string) {
	s.t.Helper()
	put := regexp.MustCompile("\x1b]52;c;([^\x07\x1b]*)[\x07\x1b]")
	s.until("something is copied", func() bool {
		all := put.FindAllSubmatch(s.raw, -1)
		if len(all) == 0 {
			return false
		}
		got, err := base64.StdEncoding.DecodeString(string(all[len(all)-1][1]))
		text = string(got)
		return err == nil
	})
	return text
}

// leaves waits until the program has ended by itself, and the terminal is as it was.
func (s *story) leaves() {
	s.t.Helper()
	if err := s.wait(); err != nil {
		s.fail("the program ended with %v", err)
	}
	for _, pair := range [][2]string{{altScreenOn, altScreenOff}, {pasteOn, pasteOff}, {"\x1b[?25l", cursorOn}} {
		if bytes.LastIndex(s.raw, []byte(pair[0])) > bytes.LastIndex(s.raw, []byte(pair[1])) {
			s.t.Errorf("the terminal was left after %q", pair[0])
		}
	}
}

func (s *story) wait() error {
	s.t.Helper()
	select {
	case err := <-s.ended:
		<-s.drained
		s.terminal.Close()
		s.cmd = nil
		return err
	case <-time.After(patience):
		s.fail("the program does not end")
		return nil
	}
}

// end ends the program by a signal: as a machine that loses its power (it is killed), a
// system that goes down, a window that is closed.
func (s *story) end(by syscall.Signal) {
	s.t.Helper()
	if err := s.cmd.Process.Signal(by); err != nil {
		s.t.Fatal(err)
	}
	_ = s.wait() // it did not end in order, or need not have
}

// written is all that the program wrote.
func (s *story) written() []byte {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.Clone(s.raw)
}

// only demands that a folder of the person's holds nothing but these: no file half
// written.
func (s *story) only(folder string, names ...string) {
	s.t.Helper()
	entries, err := os.ReadDir(filepath.Join(s.home, folder))
	if err != nil {
		s.t.Fatal(err)
	}
	for _, e := range entries {
		if !slices.Contains(names, e.Name()) {
			s.fail("%s was left behind", e.Name())
		}
	}
}

// clear ends what a failed story left running.
func (s *story) clear() {
	if s.cmd != nil && s.cmd.Process != nil {
		_ = s.cmd.Process.Kill()
		<-s.ended
		<-s.drained
		s.terminal.Close()
	}
}

// kept waits until the session that the program keeps holds texts: what a crash from
// now on cannot take.
func (s *story) kept(texts ...string) {
	s.t.Helper()
	name := filepath.Join(s.state(), "pinhoist", fmt.Sprintf("%s%d.json", sessionName, s.cmd.Process.Pid))
	s.eventually(fmt.Sprintf("the session holds %q", texts), func() bool {
		text, err := os.ReadFile(name)
		return err == nil && !slices.ContainsFunc(texts, func(want string) bool { return !strings.Contains(string(text), want) })
	})
}

// eventually waits for what does not show on the screen.
func (s *story) eventually(what string, true_ func() bool) {
	s.t.Helper()
	for deadline := time.Now().Add(patience); !true_(); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(deadline) {
			s.fail("never so: %s", what)
		}
	}
}
