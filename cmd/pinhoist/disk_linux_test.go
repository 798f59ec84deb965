package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// mounted is a small disk of its own, "" where nobody may have one: only root may, and
// not everywhere.
func mounted(t *testing.T, flags uintptr, data string) string {
	t.Helper()
	dir := t.TempDir()
	if err := syscall.Mount("none", dir, "tmpfs", flags, data); err != nil {
		t.Logf("no disk to try it on: %v", err)
		return ""
	}
	t.Cleanup(func() { _ = syscall.Unmount(dir, 0) })
	return dir
}

// What a disk refuses is said in words, and stays the error that it is.
func TestDiskErrors(t *testing.T) {
	for _, c := range []struct {
		err  error
		says string
	}{
		{syscall.ENOSPC, "the disk is full"}, {syscall.EROFS, "the disk can only be read"}, {syscall.EDQUOT, "your share of the disk is used up"},
		{syscall.EFBIG, "the disk takes no file of that size"}, {syscall.EACCES, "you may not write there"}, {syscall.EIO, "input/output error"},
	} {
		for _, err := range []error{&fs.PathError{Op: "write", Path: "a", Err: c.err}, &os.LinkError{Op: "rename", Old: "a", New: "b", Err: c.err}} {
			if got := diskError(err); got.Error() != c.says || !errors.Is(got, c.err) {
				t.Errorf("%v: said %q", err, got)
			}
		}
	}
	if diskError(nil) != nil {
		t.Error("no fault is one")
	}
}

// A full disk leaves the file as it was, and is told in words.
func TestFullDisk(t *testing.T) {
	dir := mounted(t, 0, "size=16k")
	if dir == "" {
		return
	}
	name := filepath.Join(dir, "a.toml")
	if err := (files{}).Write(name, []byte("one")); err != nil {
		t.Fatal(err)
	}
	err := files{}.Write(name, make([]byte, 1<<16))
	if err == nil || err.Error() != "the disk is full" || !errors.Is(err, syscall.ENOSPC) {
		t.Errorf("said %v", err)
	}
	if text, _ := os.ReadFile(name); string(text) != "one" {
		t.Errorf("the file became %q", text)
	}
	onlyThese(t, dir, 1)
	s := &state{dir: filepath.Join(dir, "state")}
	session := aSession("")
	session.Job = strings.Repeat("x", 1<<16)
	if err := s.Keep(session); err == nil || !strings.Contains(err.Error(), "full") {
		t.Errorf("a session on a full disk: %v", err)
	}
}

func TestReadOnlyDisk(t *testing.T) {
	dir := mounted(t, syscall.MS_RDONLY, "")
	if dir == "" {
		return
	}
	if err := (files{}).Write(filepath.Join(dir, "a.toml"), []byte("x")); err == nil || err.Error() != "the disk can only be read" {
		t.Errorf("said %v", err)
	}
	if err := (&state{dir: filepath.Join(dir, "s")}).Keep(aSession("")); err == nil || err.Error() != "the disk can only be read" {
		t.Errorf("a session: %v", err)
	}
}
