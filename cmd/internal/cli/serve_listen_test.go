package cli

import (
	"errors"
	"fmt"
	"net"
	"os"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"dewgap/cmd/internal/app"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Each way in which an address cannot be meant has an error of its own, and what to give.
func TestListenIsChecked(t *testing.T) {
	for address, want := range map[string]string{
		"8023": "is no address", "": "is no address", "::1:8023": "is no address", "127.0.0.1": "is no address",
		"127.0.0.1:": "has no port", ":": "has no port",
		"127.0.0.1:http": `the port "http" is no number`, ":80a": `the port "80a" is no number`, ":+80": `the port "+80" is no number`, ":8 0": `"8 0" is no number`,
		"127.0.0.1:65536": "there is no port 65536", ":-1": "there is no port -1", "[::1]:99999999999999999999": "there is no port 99999999999999999999",
	} {
		err := checkListen(address)
		require.Error(t, err, address)
		usage, ok := errors.AsType[*usageError](err)
		require.True(t, ok, address)
		assert.Contains(t, err.Error(), want, address)
		assert.NotContains(t, usage.fix, "stop what listens there", address)
		assert.Contains(t, usage.fix, ":8023", address)
	}
	for _, good := range []string{":0", "127.0.0.1:8023", "[::1]:65535", "localhost:80", ":1"} {
		assert.NoError(t, checkListen(good), good)
	}
}

// A port is taken exactly if the system could take it.
func TestListenPorts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.OneOf(rapid.Int(), rapid.IntRange(-2, 70000)).Draw(t, "port")
		err := checkListen("127.0.0.1:" + strconv.Itoa(n))
		if (err == nil) != (n >= 0 && n <= 65535) {
			t.Fatalf("%d: %v", n, err)
		}
	})
}

// What the system refuses is told with the advice for that, and not with another's.
func TestCannotListen(t *testing.T) {
	refused := func(of error) error { return &net.OpError{Op: "listen", Net: "tcp", Err: of} }
	for want, c := range map[string]struct {
		address string
		err     error
	}{
		"stop what listens there":         {"127.0.0.1:8023", refused(os.NewSyscallError("bind", syscall.EADDRINUSE))},
		"ports below 1024":                {"127.0.0.1:80", refused(os.NewSyscallError("bind", syscall.EACCES))},
		"this computer has no such":       {"192.0.2.1:8023", refused(os.NewSyscallError("bind", syscall.EADDRNOTAVAIL))},
		"nobody knows a computer of that": {"no.such.example:8023", refused(&net.DNSError{Err: "no such host", Name: "no.such.example"})},
		"choose another --listen":         {"odd", fmt.Errorf("odd")},
	} {
		p, ok := errors.AsType[*app.Problem](cannotListen(c.address, c.err))
		require.True(t, ok)
		assert.Contains(t, p.Fix, want)
		assert.True(t, strings.HasPrefix(p.Text, "cannot listen at "+c.address+": "), p.Text)
		assert.ErrorIs(t, p, c.err)
		assert.NotContains(t, p.Text, "listen tcp", "said twice")
	}
	// And as the system itself says it.
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer func() { assert.NoError(t, l.Close()) }()
	_, err = net.Listen("tcp", l.Addr().String())
	p, ok := errors.AsType[*app.Problem](cannotListen(l.Addr().String(), err))
	require.True(t, ok)
	assert.Contains(t, p.Fix, "stop what listens there")
	assert.Contains(t, p.Text, "address already in use")
}
