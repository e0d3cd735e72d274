package cli

import (
	"errors"
	"io/fs"
	"net"
	"strconv"
	"strings"
	"syscall"

	"dewgap/cmd/internal/app"
)

// checkListen refuses what is no address to listen at.
func checkListen(address string) error {
	host, port, err := net.SplitHostPort(address)
	if err != nil {
		return &usageError{"--listen " + address + " is no address", "write it as 127.0.0.1:8023, or :8023 for everybody who can reach this computer"}
	}
	at := net.JoinHostPort(host, "8023")
	n, err := strconv.Atoi(port)
	switch {
	case port == "":
		return &usageError{"--listen " + address + " has no port", "write it behind the colon, as " + at}
	case errors.Is(err, strconv.ErrSyntax) || strings.HasPrefix(port, "+"):
		return &usageError{"--listen " + address + ": the port " + strconv.Quote(port) + " is no number", "write it in figures, as " + at}
	case err != nil || n < 0 || n > 65535:
		return &usageError{"--listen " + address + ": there is no port " + port, "give one from 1024 to 65535, such as " + at + ", or 0 for any that is free"}
	}
	return nil
}

// cannotListen is why nothing can be listened for at an address, and what to do.
func cannotListen(address string, err error) error {
	p := &app.Problem{Text: "cannot listen at " + address + ": " + bareNet(err), Err: err,
		Fix: "stop what listens there, or choose another --listen, such as 127.0.0.1:8024"}
	host, _, splitErr := net.SplitHostPort(address)
	if splitErr != nil {
		return p
	}
	_, unknown := errors.AsType[*net.DNSError](err)
	switch {
	case errors.Is(err, fs.ErrPermission):
		p.Fix = "ports below 1024 are for the system alone on most computers: give one above, such as --listen " + net.JoinHostPort(host, "8023") +
			", and let a proxy hand on to it"
	case errors.Is(err, syscall.EADDRNOTAVAIL):
		p.Fix = "this computer has no such address: give --listen 127.0.0.1:8023 for this computer only, or :8023 for all its addresses"
	case unknown:
		p.Fix = "nobody knows a computer of that name: give --listen 127.0.0.1:8023 for this computer only, or :8023 for all its addresses"
	}
	return p
}

// bareNet is an error of the network without what is said already.
func bareNet(err error) string {
	if e, ok := errors.AsType[*net.OpError](err); ok {
		return e.Err.Error()
	}
	return err.Error()
}
