//go:build unix

package web

import "syscall"

// openFiles is how many files a process may hold open.
func openFiles() (n int, limited bool) {
	var limit syscall.Rlimit
	if syscall.Getrlimit(syscall.RLIMIT_NOFILE, &limit) != nil {
		return 0, true
	}
	return int(limit.Cur), true //nolint:gosec,unconvert // the limit is a signed number on some systems
}
