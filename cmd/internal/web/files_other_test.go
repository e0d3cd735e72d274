//go:build !unix

package web

// openFiles has no limit that could be asked for.
func openFiles() (n int, limited bool) { return 0, false }
