//go:build !linux

package tui

import "time"

// threadTime is the clock, where a thread's own time is not to be had.
func threadTime() time.Duration { return time.Duration(time.Now().UnixNano()) }
