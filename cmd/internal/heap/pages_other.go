//go:build !linux

package heap

// inBigPages does nothing: other systems choose the size of pages themselves.
func inBigPages(int) {}
