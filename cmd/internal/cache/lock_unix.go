//go:build linux || darwin || freebsd || netbsd || openbsd || dragonfly

package cache

import (
	"errors"
	"os"
	"syscall"
)

// tryLock takes the system's lock on a file, which the system gives back when
// the process ends; errHeld where another has it.
func tryLock(file string) (unlock func(), err error) {
	f, err := os.OpenFile(file, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, err
	}
	err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if err == nil {
		return func() { _ = f.Close() }, nil // closing lets go; nothing was written
	}
	_ = f.Close() // nothing was written
	if errors.Is(err, syscall.EWOULDBLOCK) || errors.Is(err, syscall.EINTR) {
		return nil, errHeld
	}
	return nil, err
}
