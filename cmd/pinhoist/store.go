package main

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// files is where the screen keeps jobs.
type files struct{}

// Read returns what a file holds.
func (files) Read(name string) ([]byte, error) {
	text, err := os.ReadFile(name)
	if errors.Is(err, fs.ErrPermission) {
		return nil, diskFault{"you may not read it", err}
	}
	return text, diskError(err) // the name is told by who asked
}

// Comments reports whether a text holds remarks. A # inside a quoted text counts
// too: better asked once too often.
func (files) Comments(text []byte) bool { return bytes.IndexByte(text, '#') >= 0 }

// Write replaces a file as a whole: a disk that is full, or a program that ends
// midway, leaves it as it was. A link stays a link, permissions stay.
func (files) Write(name string, text []byte) error {
	if to, err := filepath.EvalSymlinks(name); err == nil {
		name = to
	}
	return diskError(writeWhole(name, text, 0o644)) // the name is told by who asked
}

// writeWhole writes a file as a whole. One that is there keeps its mode.
func writeWhole(name string, text []byte, mode fs.FileMode) (err error) {
	if info, err := os.Stat(name); err == nil {
		if !info.Mode().IsRegular() {
			return errors.New("it is no ordinary file")
		}
		mode = info.Mode().Perm()
	}
	f, err := os.CreateTemp(filepath.Dir(name), ".pinhoist-*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	if _, err = f.Write(text); err != nil {
		return err
	}
	if err = f.Chmod(mode); err != nil {
		return err
	}
	if err = f.Sync(); err != nil {
		return err
	}
	if err = f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), name)
}
