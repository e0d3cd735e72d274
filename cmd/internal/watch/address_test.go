package watch

import (
	"net"
	"net/netip"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Addresses of IANA's special-purpose registries (RFC 6890, as updated), and ways of
// writing them that have led inside before.
func TestPublic(t *testing.T) {
	for _, inside := range []string{
		"0.0.0.0", "0.1.2.3", "10.0.0.1", "100.64.0.1", "100.127.255.255", "127.0.0.1", "127.255.255.255", "169.254.169.254",
		"172.16.0.1", "172.31.255.255", "192.0.0.8", "192.0.2.1", "192.88.99.1", "192.168.1.1", "198.18.0.1", "198.19.255.255",
		"198.51.100.1", "203.0.113.1", "224.0.0.1", "239.255.255.255", "240.0.0.1", "255.255.255.255",
		"::", "::1", "::ffff:127.0.0.1", "::ffff:10.0.0.1", "::127.0.0.1", "64:ff9b::7f00:1", "64:ff9b:1::1", "100::1",
		"2001::1", "2001:db8::1", "2002:7f00:1::", "3fff::1", "fc00::1", "fd12:3456::1", "fe80::1", "fe80::1%eth0", "fec0::1", "ff02::1",
		"2606:4700::1%eth0", "5f00::1",
	} {
		assert.False(t, public(netip.MustParseAddr(inside)), inside)
	}
	for _, outside := range []string{"1.1.1.1", "8.8.8.8", "100.63.255.255", "100.128.0.1", "172.15.0.1", "172.32.0.1", "192.167.1.1", "223.255.255.255", "2606:4700::1111", "2a00:1450::1", "::ffff:8.8.8.8"} {
		assert.True(t, public(netip.MustParseAddr(outside)), outside)
	}
	assert.False(t, public(netip.Addr{}))
}

func TestOnlyPublic(t *testing.T) {
	require.NoError(t, onlyPublic("tcp4", "8.8.8.8:443", nil))
	require.NoError(t, onlyPublic("tcp6", "[2606:4700::1111]:443", nil))
	require.ErrorIs(t, onlyPublic("tcp4", "127.0.0.1:443", nil), ErrPrivate)
	require.ErrorIs(t, onlyPublic("tcp6", "[::ffff:10.0.0.1]:443", nil), ErrPrivate)
	for _, bad := range [][2]string{{"udp4", "8.8.8.8:53"}, {"tcp4", "8.8.8.8"}, {"tcp4", "name:443"}} {
		assert.Error(t, onlyPublic(bad[0], bad[1], nil), bad)
	}
}

func FuzzOnlyPublic(f *testing.F) {
	f.Add("127.0.0.1:80")
	f.Add("[::1]:80")
	f.Fuzz(func(t *testing.T, address string) {
		if onlyPublic("tcp4", address, nil) != nil {
			return
		}
		host, _, err := net.SplitHostPort(address)
		require.NoError(t, err)
		ip := net.ParseIP(host) // judged once more by the library's own words
		require.NotNil(t, ip)
		assert.False(t, ip.IsLoopback() || ip.IsPrivate() || ip.IsLinkLocalUnicast() || ip.IsMulticast() || ip.IsUnspecified(), address)
	})
}
