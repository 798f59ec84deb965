package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/creack/pty"
	"golang.org/x/sys/unix"
)

// BenchmarkFirstFrame starts the program as it is built on a pseudo-terminal of 120x40,
// and tells the processor time that it has had when the shortlist is on its screen: the
// median, and the least, which other work on the machine disturbs less.
func BenchmarkFirstFrame(b *testing.B) {
	program := filepath.Join(b.TempDir(), "pinhoist")
	if out, err := exec.Command("go", "build", "-o", program, ".").CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	home := b.TempDir()
	if err := (&state{dir: filepath.Join(home, "pinhoist")}).TourDone(); err != nil {
		b.Fatal(err)
	}
	var took []float64
	for b.Loop() {
		took = append(took, firstFrame(b, program, home))
	}
	slices.Sort(took)
	b.ReportMetric(took[len(took)/2]*1e3, "median-cpu-ms")
	b.ReportMetric(took[0]*1e3, "least-cpu-ms")
}

// firstFrame is the processor time of one start, in seconds.
func firstFrame(b *testing.B, program, home string) float64 {
	c := exec.Command(program)
	c.Env = []string{"HOME=" + home, "XDG_STATE_HOME=" + home, "XDG_DATA_HOME=" + home, "LC_ALL=C.UTF-8", "TERM=xterm-256color"}
	terminal, err := pty.StartWithSize(c, &pty.Winsize{Cols: 120, Rows: 40})
	if err != nil {
		b.Fatal(err)
	}
	defer func() {
		_ = c.Process.Signal(os.Interrupt)
		_, _ = c.Process.Wait()
		_ = terminal.Close()
	}()
	if err := terminal.SetReadDeadline(time.Now().Add(time.Minute)); err != nil {
		b.Logf("it would wait for ever for a frame that never comes: %v", err)
	}
	var screen []byte
	some := make([]byte, 1<<16)
	for !bytes.Contains(screen, []byte("n-30v-logic-smd")) {
		n, err := terminal.Read(some)
		if err != nil {
			b.Fatalf("%v after\n%s", err, screen)
		}
		screen = append(screen, some[:n]...)
	}
	const ofProcess = 2 // CPUCLOCK_SCHED, beside the number of the process
	var t unix.Timespec
	if err := unix.ClockGettime(int32(^c.Process.Pid<<3|ofProcess), &t); err != nil {
		b.Fatal(err)
	}
	return time.Duration(t.Nano()).Seconds()
}
