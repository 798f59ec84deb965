package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
)

func TestFilesAreWrittenWhole(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "a.toml")
	link := filepath.Join(dir, "link.toml")
	if _, err := (files{}).Read(name); !errors.Is(err, fs.ErrNotExist) {
		t.Fatalf("a file that is not there: %v", err)
	}
	if err := (files{}).Write(name, []byte("one")); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(name, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("a.toml", link); err != nil {
		t.Fatal(err)
	}
	if err := (files{}).Write(link, []byte("two")); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&fs.ModeSymlink == 0 {
		t.Errorf("the link is gone: %v", err)
	}
	text, err := files{}.Read(name)
	if err != nil || string(text) != "two" {
		t.Errorf("%q, %v", text, err)
	}
	if info, _ := os.Stat(name); info.Mode().Perm() != 0o600 {
		t.Errorf("permissions became %v", info.Mode())
	}
	onlyThese(t, dir, 2)
}

// What cannot be written leaves nothing behind, and what was there as it was.
func TestFilesThatCannotBeWritten(t *testing.T) {
	dir := t.TempDir()
	if err := (files{}).Write(filepath.Join(dir, "none", "a.toml"), []byte("x")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a directory that is not there: %v", err)
	}
	if err := (files{}).Write(dir, []byte("x")); err == nil {
		t.Error("wrote over a directory")
	}
	onlyThese(t, dir, 0)
	if os.Geteuid() == 0 {
		t.Log("root may write into a read-only directory: not tried")
		return
	}
	if err := os.Chmod(dir, 0o500); err != nil {
		t.Fatal(err)
	}
	if err := (files{}).Write(filepath.Join(dir, "a.toml"), []byte("x")); !errors.Is(err, fs.ErrPermission) {
		t.Errorf("a read-only directory: %v", err)
	}
}

func onlyThese(t *testing.T, dir string, n int) {
	t.Helper()
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != n {
		t.Errorf("%d files, want %d: %v %v", len(left), n, left, err)
	}
}
