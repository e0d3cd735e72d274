package book

import (
	"os"
	"path/filepath"
	"runtime"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// asSomebody runs check with a user's rights to files, for nothing is forbidden
// to root. The kernel keeps those rights for each thread.
func asSomebody(t *testing.T, check func()) {
	if os.Geteuid() != 0 {
		check()
		return
	}
	const nobody = 65534
	done := make(chan struct{})
	go func() {
		defer close(done)
		runtime.LockOSThread() // never unlocked: the thread ends with the goroutine
		syscall.Syscall(syscall.SYS_SETFSUID, nobody, 0, 0)
		check()
	}()
	<-done
}

// openFolder is a folder that everybody may reach, with the given rights.
func openFolder(t *testing.T, mode os.FileMode) string {
	dir := t.TempDir()
	require.NoError(t, os.Chmod(filepath.Dir(dir), 0o755))
	require.NoError(t, os.Chmod(dir, mode))
	return dir
}

func TestReadOnlyFolder(t *testing.T) {
	dir := openFolder(t, 0o555)
	asSomebody(t, func() {
		refused(t, filepath.Join(dir, "book.sqlite"), ErrAccess)
		refused(t, filepath.Join(dir, "home", "book.sqlite"), ErrAccess)
	})
}

func TestUnreachableBook(t *testing.T) {
	for name, rights := range map[string]struct{ file, folder os.FileMode }{
		"the folder":              {0o666, 0o555},
		"the file, not even read": {0o000, 0o777},
	} {
		t.Run(name, func(t *testing.T) {
			dir, path := sharedBook(t)
			require.NoError(t, os.Chmod(path, rights.file))
			require.NoError(t, os.Chmod(dir, rights.folder))
			asSomebody(t, func() { refused(t, path, ErrAccess) })
		})
	}
}

// TestReadOnlyBook may be looked at, and says so when it is written.
func TestReadOnlyBook(t *testing.T) {
	_, path := sharedBook(t)
	require.NoError(t, os.Chmod(path, 0o444))
	asSomebody(t, func() {
		b, err := Open(t.Context(), path, time.Now)
		if !assert.NoError(t, err) {
			return
		}
		defer b.Close()
		jobs, err := b.Jobs(t.Context())
		assert.NoError(t, err)
		assert.Len(t, jobs, 1)
		err = b.Record(t.Context(), func(tx *Tx) error {
			_, err := tx.AddBody([]byte("new"))
			return err
		})
		assert.ErrorIs(t, err, ErrAccess)
	})
}

// sharedBook is a closed book in a folder that everybody may write.
func sharedBook(t *testing.T) (dir, path string) {
	dir = openFolder(t, 0o777)
	path = filepath.Join(dir, "book.sqlite")
	b, err := Open(t.Context(), path, time.Now)
	require.NoError(t, err)
	_, err = fill(t.Context(), b)
	require.NoError(t, err)
	require.NoError(t, b.Close())
	return dir, path
}
