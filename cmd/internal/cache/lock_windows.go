package cache

import (
	"errors"
	"syscall"
)

// sharingViolation is the system's word for a file that another has open and
// does not share (ERROR_SHARING_VIOLATION).
const sharingViolation = syscall.Errno(32)

// tryLock opens a file that nobody else may open meanwhile; the system closes it
// when the process ends. errHeld where another has it.
func tryLock(file string) (unlock func(), err error) {
	name, err := syscall.UTF16PtrFromString(file)
	if err != nil {
		return nil, err
	}
	const shareNothing = 0
	h, err := syscall.CreateFile(name, syscall.GENERIC_READ|syscall.GENERIC_WRITE, shareNothing, nil,
		syscall.OPEN_ALWAYS, syscall.FILE_ATTRIBUTE_NORMAL, 0)
	switch {
	case err == nil:
		return func() { _ = syscall.CloseHandle(h) }, nil // nothing was written
	case errors.Is(err, sharingViolation):
		return nil, errHeld
	}
	return nil, err
}
