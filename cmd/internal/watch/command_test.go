package watch

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestMain makes the test itself the program that is run.
func TestMain(m *testing.M) {
	if len(os.Args) > 2 && os.Args[1] == "told" {
		os.Exit(program(os.Args[2], os.Args[3:]))
	}
	os.Exit(m.Run())
}

func program(what string, args []string) int {
	switch what {
	case "write": // what was on the input, the arguments and the environment, into a folder
		in, _ := io.ReadAll(os.Stdin)
		_ = os.WriteFile(filepath.Join(args[0], "in"), in, 0o600)
		_ = os.WriteFile(filepath.Join(args[0], "args"), []byte(strings.Join(args, "\n")), 0o600)
		_ = os.WriteFile(filepath.Join(args[0], "env"), []byte(strings.Join(os.Environ(), "\n")), 0o600)
		fmt.Println("not shown")
		return 0
	case "fail":
		fmt.Fprintln(os.Stderr, "no \x1b[31mpaper\r\nleft")
		return 3
	case "sleep":
		time.Sleep(time.Minute)
	case "talk":
		fmt.Print(strings.Repeat("talk ", 1<<20))
		return 1
	}
	return 0
}

func command(args ...string) Command {
	return Command{Args: append([]string{os.Args[0], "told"}, args...), Timeout: 20 * time.Second}
}

func TestCommand(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("DEWGAP_WEBHOOK_SECRET", "hunter2")
	t.Setenv("OTTER", "quay")
	c := command("write", dir, "$HOME; rm -r", "a b")
	c.Secrets = []string{"DEWGAP_WEBHOOK_SECRET"}
	require.NoError(t, c.Tell(context.Background(), newsFixture(t)))
	read := func(name string) string {
		data, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		return string(data)
	}
	assert.Equal(t, dir+"\n$HOME; rm -r\na b", read("args"), "no shell has seen them")
	assert.NotContains(t, read("env"), "hunter2")
	assert.Contains(t, read("env"), "OTTER=quay")
	var n answer.Watch
	require.NoError(t, json.Unmarshal([]byte(read("in")), &n))
	require.NotNil(t, n.Answer, "the whole week is there")
	assert.Equal(t, answer.WeekFormat, n.Answer.Format)
	assert.Equal(t, 1, strings.Count(read("in"), "\n"))
}

func TestCommandFails(t *testing.T) {
	err := command("fail", "hunter2").Tell(context.Background(), newsFixture(t))
	require.ErrorContains(t, err, "exit status 3")
	assert.Contains(t, err.Error(), "no [31mpaper left")
	assert.NotContains(t, err.Error(), "hunter2", "arguments may be secrets")
	err = command("talk").Tell(context.Background(), newsFixture(t))
	require.Error(t, err)
	assert.Less(t, len(err.Error()), mostOutput+300)
	err = Command{Args: []string{"/none/such"}}.Tell(context.Background(), newsFixture(t))
	require.Error(t, err)
	assert.NotContains(t, command("write", "hunter2").Name(), "hunter2")
}

func TestCommandIsEnded(t *testing.T) {
	c := command("sleep")
	c.Timeout = 100 * time.Millisecond
	began := time.Now()
	require.ErrorContains(t, c.Tell(context.Background(), newsFixture(t)), "took longer than 100ms")
	assert.Less(t, time.Since(began), 10*time.Second)
}

func TestTerminal(t *testing.T) {
	var out bytes.Buffer
	n := newsFixture(t)
	n.Changes = []answer.WatchChange{change("verdict", "go", "no-go"), change("plan", "go", "none"), change("a", "b", "c"), change("d", "e", "f")}
	require.NoError(t, Terminal{Out: &out}.Tell(context.Background(), n))
	assert.Equal(t, "Wed 9 Sep 06:00 Kittiwake: Clean and seal, watched from now on. go; plan of 1 block on 2 days, first wash, port side Thu 10 Sep 07:30-08:30\n"+
		"   verdict go → no-go; plan go → none; a b → c; 1 more\n", out.String())
	out.Reset()
	n.Changes, n.Failure = nil, &answer.Failure{Fix: "mend\r\nit"}
	require.NoError(t, Terminal{Out: &out}.Tell(context.Background(), n))
	assert.True(t, strings.HasSuffix(out.String(), "   fix: mend it\n"))
	out.Reset()
	require.NoError(t, Terminal{Out: &out, JSON: true}.Tell(context.Background(), n))
	var read answer.Watch
	require.NoError(t, json.Unmarshal(out.Bytes(), &read))
	assert.Nil(t, read.Answer)
	assert.NotNil(t, n.Answer, "the news itself is left alone")
	assert.Equal(t, "terminal", Terminal{}.Name())
}
