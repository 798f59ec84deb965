package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"time"

	"example.org/pinhoist/tui"
)

// stateSchema is the newest form of the files of the state directory.
const stateSchema = 1

// savedSession is a session as a file. Tried says that a program began to go on with it
// and has not kept anything since: if that program is gone, it was the session that
// ended it.
type savedSession struct {
	Schema  int
	Tried   bool
	Session tui.Session
}

// savedSeen is what was shown once, as a file.
type savedSeen struct {
	Schema int
	Tour   bool
}

// state is the directory where the screen keeps its sessions: one file for each program
// that runs, by the number of its process, so that two screens do not take each
// other's. A program that ends in order takes its file away; what is there of a process
// that is gone was left midway.
type state struct {
	dir string

	mu   sync.Mutex
	over bool // this program's session has ended in order
}

// openState finds the state directory by the rules of the desktop: XDG_STATE_HOME where
// it is an absolute path, else .local/state at home. It is nil where there is neither.
func openState() *state {
	base := os.Getenv("XDG_STATE_HOME")
	if !filepath.IsAbs(base) {
		home, err := os.UserHomeDir()
		if err != nil || !filepath.IsAbs(home) {
			return nil
		}
		base = filepath.Join(home, ".local", "state")
	}
	return &state{dir: filepath.Join(base, "pinhoist")}
}

const (
	sessionName = "session-"
	seenName    = "seen.json"
	brokenName  = "unread-"
)

func (s *state) own() string {
	return filepath.Join(s.dir, sessionName+strconv.Itoa(os.Getpid())+".json")
}

// Keep replaces this program's session.
func (s *state) Keep(session tui.Session) error {
	if name, err := filepath.Abs(session.File); err == nil && session.File != "" {
		session.File = name // the next program may begin in another folder
	}
	return s.write(s.own(), savedSession{Schema: stateSchema, Session: session})
}

// TourDone notes that the tour was seen.
func (s *state) TourDone() error {
	return s.write(filepath.Join(s.dir, seenName), savedSeen{Schema: stateSchema, Tour: true})
}

func (s *state) write(name string, what any) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.over {
		return nil
	}
	text, err := json.MarshalIndent(what, "", " ")
	if err != nil {
		return err
	}
	if err := os.MkdirAll(s.dir, 0o700); err != nil {
		return diskError(err)
	}
	return diskError(writeWhole(name, text, 0o600))
}

// end takes this program's session away: it ended in order.
func (s *state) end() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.over = true
	_ = os.Remove(s.own()) // at worst it comes back once more
}

// tourSeen reports whether the tour was seen. A file that cannot be read counts as no.
func (s *state) tourSeen() bool {
	text, err := os.ReadFile(filepath.Join(s.dir, seenName))
	var seen savedSeen
	return err == nil && json.Unmarshal(text, &seen) == nil && seen.Tour
}

// left is the newest session that was left midway, made this program's own; of file
// alone, unless file is "". The note says what else there is to tell, "" for nothing. A
// session that cannot be read is put aside and told of, once.
func (s *state) left(file string) (session *tui.Session, note string) {
	for _, name := range s.abandoned() {
		saved, err := readSession(name)
		switch {
		case err == nil && saved.Tried:
			err = errors.New("it ended the program before")
		case err == nil && file != "" && !sameFile(file, saved.Session.File):
			note = "edits of another session wait; start without a job to go on with them"
			continue
		}
		if err != nil {
			aside := filepath.Join(s.dir, brokenName+strings.TrimPrefix(filepath.Base(name), sessionName))
			if os.Rename(name, aside) == nil {
				note = fmt.Sprintf("a session cannot be taken up: %v. It is put aside as %s", err, aside)
			}
			continue
		}
		if os.Rename(name, s.own()) != nil {
			continue // another program was quicker
		}
		saved.Tried = true
		_ = s.write(s.own(), saved) // without it the session is tried once more
		return &saved.Session, note
	}
	return nil, note
}

// abandoned lists the sessions of programs that are gone, the newest first.
func (s *state) abandoned() []string {
	entries, err := os.ReadDir(s.dir)
	if err != nil {
		return nil
	}
	type file struct {
		name string
		at   time.Time
	}
	var files []file
	for _, e := range entries {
		number, ok := strings.CutPrefix(e.Name(), sessionName)
		number, json := strings.CutSuffix(number, ".json")
		pid, err := strconv.Atoi(number)
		info, infoErr := e.Info()
		if !ok || !json || err != nil || infoErr != nil || !info.Mode().IsRegular() || pid != os.Getpid() && runs(pid) {
			continue // this process was not there before it began
		}
		files = append(files, file{filepath.Join(s.dir, e.Name()), info.ModTime()})
	}
	slices.SortFunc(files, func(a, b file) int { return b.at.Compare(a.at) })
	names := make([]string, len(files))
	for i := range files {
		names[i] = files[i].name
	}
	return names
}

// runs reports whether there is such a process. One of somebody else counts: at worst
// a session waits until that one has ended.
func runs(pid int) bool {
	p, err := os.FindProcess(pid)
	if err != nil || pid <= 0 {
		return false
	}
	if runtime.GOOS == "windows" { // it was found, so it runs
		return true
	}
	if err = p.Signal(syscall.Signal(0)); err != nil && !errors.Is(err, fs.ErrPermission) {
		return false
	}
	// Where processes can be looked at, one that is dead and that nobody has buried is
	// gone, and so is one whose number another program has by now.
	stat, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		return true
	}
	own, _ := os.ReadFile("/proc/self/stat")
	name, state := procStat(stat)
	ownName, _ := procStat(own)
	return state != "Z" && state != "X" && name == ownName
}

// procStat is the name and the state in a line of the kernel's about a process:
// "12 (name) S ...". A name may hold anything.
func procStat(line []byte) (name, state string) {
	from, to := bytes.IndexByte(line, '('), bytes.LastIndexByte(line, ')')
	if from < 0 || to < from {
		return "", ""
	}
	fields := strings.Fields(string(line[to+1:]))
	if len(fields) == 0 {
		return "", ""
	}
	return string(line[from+1 : to]), fields[0]
}

// readSession reads a session. A newer program's is none of this one's.
func readSession(name string) (*savedSession, error) {
	text, err := readFile(name)
	if err != nil {
		return nil, err
	}
	var saved savedSession
	if err := json.Unmarshal(text, &saved); err != nil {
		return nil, fmt.Errorf("it is broken (%w)", err)
	}
	if saved.Schema != stateSchema {
		return nil, fmt.Errorf("it is of form %d, this program reads %d", saved.Schema, stateSchema)
	}
	return &saved, nil
}

// sameFile reports whether two names are of one file.
func sameFile(a, b string) bool {
	x, errX := filepath.Abs(a)
	y, errY := filepath.Abs(b)
	return b != "" && errX == nil && errY == nil && x == y
}

// diskFault is a fault of a disk in words of people.
type diskFault struct {
	text string
	err  error
}

func (d diskFault) Error() string { return d.text }
func (d diskFault) Unwrap() error { return d.err }

// diskError puts a fault of a disk into words of people.
func diskError(err error) error {
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case err == nil:
		return nil
	case errors.Is(err, syscall.ENOSPC):
		return diskFault{"the disk is full", err}
	case errors.Is(err, syscall.EROFS):
		return diskFault{"the disk can only be read", err}
	case errors.Is(err, syscall.EDQUOT):
		return diskFault{"your share of the disk is used up", err}
	case errors.Is(err, syscall.EFBIG):
		return diskFault{"the disk takes no file of that size", err}
	case errors.Is(err, fs.ErrPermission):
		return diskFault{"you may not write there", err}
	case errors.As(err, &path):
		return path.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}
