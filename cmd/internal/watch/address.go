package watch

import (
	"errors"
	"fmt"
	"net"
	"net/netip"
	"syscall"
)

// ErrPrivate is an address of a network that is not the public one.
var ErrPrivate = errors.New("an address of this computer or of a private network")

// reserved are the networks to which nothing is told unless the person allows it: by
// IANA's registries of special-purpose addresses (RFC 6890 and its updates), and those
// that carry an IPv4 address inside, by which one could get around it.
var reserved = networks(
	"0.0.0.0/8", "10.0.0.0/8", "100.64.0.0/10", "127.0.0.0/8", "169.254.0.0/16", "172.16.0.0/12", "192.0.0.0/24",
	"192.0.2.0/24", "192.88.99.0/24", "192.168.0.0/16", "198.18.0.0/15", "198.51.100.0/24", "203.0.113.0/24",
	"224.0.0.0/4", "240.0.0.0/4",
	"2001::/23", "2001:db8::/32", "2002::/16", "3fff::/20",
)

// global is the part of IPv6 that is given out.
var global = netip.MustParsePrefix("2000::/3")

func networks(list ...string) []netip.Prefix {
	out := make([]netip.Prefix, len(list))
	for i, s := range list {
		out[i] = netip.MustParsePrefix(s)
	}
	return out
}

// public reports whether an address is of the public network.
func public(a netip.Addr) bool {
	if !a.IsValid() || a.Zone() != "" {
		return false
	}
	a = a.Unmap()
	if a.Is6() && !global.Contains(a) {
		return false
	}
	for _, p := range reserved {
		if p.Contains(a) {
			return false
		}
	}
	return true
}

// onlyPublic is for net.Dialer.Control: it looks at the address that is really dialled,
// after every name has been looked up, so that no name can lead inside.
func onlyPublic(network, address string, _ syscall.RawConn) error {
	if network != "tcp4" && network != "tcp6" {
		return fmt.Errorf("%s is not TCP", network)
	}
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return err
	}
	a, err := netip.ParseAddr(host)
	if err != nil {
		return err
	}
	if !public(a) {
		return ErrPrivate
	}
	return nil
}
