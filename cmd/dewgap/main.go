// Command dewgap tells a person who washes, machine-polishes and seals boats
// outdoors when each step will succeed on each zone of the boat, and why.
package main

import (
	"context"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
	"time"
	_ "time/tzdata" // zones on computers that have none of their own

	"dewgap/cmd/internal/cli"
	_ "dewgap/cmd/internal/heap" // its memory is made ready before the others begin

	"golang.org/x/term"
)

// version is set by the build of a release: -ldflags "-X main.version=v1.2.3".
var version = ""

func main() { os.Exit(run()) }

// run is the program up to its exit code.
func run() int {
	ctx, stop := signal.NotifyContext(context.Background(), ends()...)
	defer stop()
	context.AfterFunc(ctx, stop) // who presses Ctrl-C once more need not wait for a clean end
	return cli.Execute(ctx, os.Args[1:], cli.Env{
		Stdout: os.Stdout, Stderr: os.Stderr, Getenv: os.Getenv, Terminal: terminal, Now: time.Now,
		Version: programVersion(), Passing: passing(),
	})
}

// ends are the signals that end the program in good order: Ctrl-C, that of the system, and
// that of a terminal which is closed, unless nohup has it ignored.
func ends() []os.Signal {
	list := []os.Signal{os.Interrupt, syscall.SIGTERM}
	if !signal.Ignored(syscall.SIGHUP) {
		list = append(list, syscall.SIGHUP)
	}
	return list
}

func terminal() (columns int, ok bool) {
	fd := int(os.Stdout.Fd())
	if !term.IsTerminal(fd) {
		return 0, false
	}
	columns, _, err := term.GetSize(fd)
	return columns, err == nil
}

// passing is the error output where it is a terminal that can wipe a line.
func passing() io.Writer {
	if term.IsTerminal(int(os.Stderr.Fd())) && os.Getenv("TERM") != "dumb" {
		return os.Stderr
	}
	return nil
}

func programVersion() string {
	if version != "" {
		return version
	}
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" && info.Main.Version != "(devel)" {
		return info.Main.Version
	}
	return "dev"
}
