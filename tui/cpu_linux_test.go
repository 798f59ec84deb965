package tui

import (
	"syscall"
	"time"
	"unsafe"
)

// threadTime is the processor time that this thread has had.
func threadTime() time.Duration {
	const ofThread = 3 // CLOCK_THREAD_CPUTIME_ID
	var t syscall.Timespec
	if _, _, e := syscall.Syscall(syscall.SYS_CLOCK_GETTIME, ofThread, uintptr(unsafe.Pointer(&t)), 0); e != 0 {
		return 0
	}
	return time.Duration(t.Nano())
}
