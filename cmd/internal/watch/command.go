package watch

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
)

// Command runs a program with the news, the whole week among them, as one line of
// JSON on its input. No shell is involved. What it writes is shown only if it fails.
type Command struct {
	Args    []string      // the program and its arguments
	Timeout time.Duration // after which it is killed; 0: DefaultTimeout
	// Secrets are environment variables that the program does not get.
	Secrets []string
}

// DefaultTimeout is how long a program may take.
const DefaultTimeout = 30 * time.Second

// Name is the program's, without its arguments, which may hold secrets.
func (c Command) Name() string { return "command " + filepath.Base(c.Args[0]) }

// mostOutput is how much of what a program writes is looked at, bytes.
const mostOutput = 2000

// Tell runs the program.
func (c Command) Tell(ctx context.Context, n *answer.Watch) error {
	timeout := c.Timeout
	if timeout <= 0 {
		timeout = DefaultTimeout
	}
	ctx, stop := context.WithTimeout(ctx, timeout)
	defer stop()
	var input bytes.Buffer
	if err := answer.Write(&input, n); err != nil {
		return err
	}
	cmd := exec.CommandContext(ctx, c.Args[0], c.Args[1:]...)
	cmd.Stdin = &input
	cmd.Env = slices.DeleteFunc(os.Environ(), func(v string) bool {
		name, _, _ := strings.Cut(v, "=")
		return slices.Contains(c.Secrets, name)
	})
	out := &capped{}
	cmd.Stdout, cmd.Stderr = out, out
	cmd.WaitDelay = time.Second // what it started itself may hold its output open
	err := cmd.Run()
	switch {
	case err == nil:
		return nil
	case ctx.Err() != nil:
		return fmt.Errorf("%s took longer than %s and was ended", c.Args[0], timeout)
	case out.kept.Len() > 0:
		return fmt.Errorf("%s: %w: %s", c.Args[0], err, plain(out.kept.String()))
	}
	return fmt.Errorf("%s: %w", c.Args[0], err)
}

// capped keeps the first bytes and forgets the rest. The buffer is no part of its own,
// for io.Copy would find its ReadFrom and fill it without end.
type capped struct{ kept bytes.Buffer }

// Write takes everything.
func (c *capped) Write(p []byte) (int, error) {
	if room := mostOutput - c.kept.Len(); room > 0 {
		c.kept.Write(p[:min(room, len(p))])
	}
	return len(p), nil
}
