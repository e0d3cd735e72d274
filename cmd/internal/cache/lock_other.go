//go:build !(linux || darwin || freebsd || netbsd || openbsd || dragonfly || windows)

package cache

// tryLock does nothing where no lock is known that ends with its process: two
// runs at the same moment may then overwrite each other's note.
func tryLock(string) (unlock func(), err error) { return func() {}, nil }
