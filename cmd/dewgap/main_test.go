package main

import (
	"encoding/json"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/assert"
)

// TestMain lets scripts run the program itself: dewgap in a script is run in a
// process of its own.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"dewgap": func() { os.Exit(run()) }})
}

// A terminal that is closed ends the program, but not under nohup.
func TestEnds(t *testing.T) {
	if !signal.Ignored(syscall.SIGHUP) { // else these tests run under it
		assert.Contains(t, ends(), syscall.SIGHUP)
	}
	signal.Ignore(syscall.SIGHUP)
	defer signal.Reset(syscall.SIGHUP)
	assert.NotContains(t, ends(), syscall.SIGHUP)
}

// TestScripts runs the stories of testdata/scripts. Each is a person at the
// command line, with a home and files of their own and no network.
//
// Beside testscript's own commands a story may use
//
//	reply FILE KEY=VALUE...   write a weather service's reply, see reply_test.go
//	code N dewgap ARGS...     run it and want that exit code
//	haskeys FILE PATH KEY...  want these keys in the JSON at PATH (a.0.b; "" is the top)
//	value FILE PATH TEXT      want this value there
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "../../testdata/scripts",
		RequireExplicitExec: true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("DEWGAP_HOME", filepath.Join(e.WorkDir, "home"))
			// Stories run beside each other, so that a program of one has a processor and not
			// all: an eighth less work each. An answer is the same by any number.
			e.Setenv("GOMAXPROCS", "1")
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"reply": cmdReply, "code": cmdCode, "haskeys": cmdHasKeys, "value": cmdValue,
		},
	})
}

func cmdCode(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: code N program args...")
	}
	err := ts.Exec(args[1], args[2:]...)
	got := 0
	if err != nil {
		text := err.Error()
		n, bad := strconv.Atoi(strings.TrimPrefix(text, "exit status "))
		if bad != nil {
			ts.Fatalf("%s: %v", args[1], err)
		}
		got = n
	}
	if strconv.Itoa(got) != args[0] {
		ts.Fatalf("exit code %d, want %s", got, args[0])
	}
}

// lookUp finds the value at a path of a JSON file; stdout and stderr stand for
// those of the last program.
func lookUp(ts *testscript.TestScript, file, path string) any {
	var v any
	if err := json.Unmarshal([]byte(ts.ReadFile(file)), &v); err != nil {
		ts.Fatalf("%s is not JSON: %v", file, err)
	}
	if path == "" {
		return v
	}
	for _, part := range strings.Split(path, ".") {
		switch x := v.(type) {
		case map[string]any:
			inner, ok := x[part]
			if !ok {
				ts.Fatalf("%s: no key %s on the way %s", file, part, path)
			}
			v = inner
		case []any:
			i, err := strconv.Atoi(part)
			if err != nil || i < 0 || i >= len(x) {
				ts.Fatalf("%s: no element %s on the way %s", file, part, path)
			}
			v = x[i]
		default:
			ts.Fatalf("%s: nothing beneath %s on the way %s", file, part, path)
		}
	}
	return v
}

func cmdHasKeys(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 3 {
		ts.Fatalf("usage: haskeys FILE PATH KEY...")
	}
	object, ok := lookUp(ts, args[0], args[1]).(map[string]any)
	if !ok {
		ts.Fatalf("%s: %s is no object", args[0], args[1])
	}
	for _, k := range args[2:] {
		if _, ok := object[k]; !ok {
			ts.Fatalf("%s: %s has no key %s", args[0], args[1], k)
		}
	}
}

func cmdValue(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 3 {
		ts.Fatalf("usage: value FILE PATH TEXT")
	}
	v := lookUp(ts, args[0], args[1])
	text := fmt.Sprint(v)
	if v == nil {
		text = "null"
	}
	if same := text == args[2]; same == neg {
		ts.Fatalf("%s: %s is %s", args[0], args[1], text)
	}
}
