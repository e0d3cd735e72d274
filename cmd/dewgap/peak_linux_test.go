package main

import (
	"os"
	"syscall"
)

// peak is the most memory that an ended process had, in bytes.
func peak(s *os.ProcessState) int64 { return s.SysUsage().(*syscall.Rusage).Maxrss * 1024 }
