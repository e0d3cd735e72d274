package cli

import (
	"encoding/json"
	"strings"
	"testing"

	"dewgap/cmd/internal/answer"
	"dewgap/products"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Wrong values: the error begins with the flag, and what to do is said once.
func TestWrongValuesNameTheirFlag(t *testing.T) {
	quick := []string{"week", "--at", "43.07,-70.74", "--kind", "catamaran", "--length", "12m"}
	fresh := []string{"new", "job.yaml", "--kind", "catamaran", "--length", "12m"}
	for _, c := range []struct {
		line        []string
		flag, value string
		fix         string
	}{
		{quick, "at", "43.07", "latitude,longitude"},
		{quick, "kind", "canoe", "use one of flybridge-cruiser"},
		{quick, "length", "12", "13m or 43ft"},
		{quick, "length", "100m", "give 4 to 40 m"},
		{quick, "bow", "left", "compass point"},
		{quick, "seal", "soap-wash", "use one of "},
		{quick, "seal", "polimer-sealant", "did you mean polymer-sealant?"},
		{quick, "timezone", "Atlantis", "America/New_York"},
		{quick, "source", "almanac", "metnorway"},
		{quick, "units", "nautical", "--units us"},
		{fresh, "at", "91,0", "latitude,longitude"},
		{fresh, "kind", "canoe", "use one of flybridge-cruiser"},
		{fresh, "length", "twelve", "13m or 43ft"},
		{fresh, "bow", "361", "compass point"},
		{fresh, "timezone", "Sydney", "America/New_York"},
		{fresh, "from", "monday", "2026-09-10"},
		{fresh, "by", "2026-02-30", "2026-09-10"},
	} {
		r := newRun(t)
		t.Chdir(t.TempDir())
		name := "--" + c.flag + " " + c.value
		assert.Equal(t, 2, r.do(append(c.line[:len(c.line):len(c.line)], "--"+c.flag, c.value)...).code, name)
		text, fix, ok := strings.Cut(r.err.String(), "\n   fix: ")
		require.True(t, ok, r.err.String())
		assert.True(t, strings.HasPrefix(text, "dewgap: --"+c.flag+": "), text)
		assert.Contains(t, fix, c.fix, name)
		assert.NotContains(t, text, c.fix, name)
	}
	r := newRun(t)
	t.Chdir(t.TempDir())
	assert.Equal(t, 2, r.do(append(fresh, "--from", "2026-02-08", "--by", "2026-02-01")...).code)
	assert.Equal(t, "dewgap: --by: the job ends on 2026-02-01 before it begins on 2026-02-08\n   fix: put the later day last\n", r.err.String())
}

func TestNearProducts(t *testing.T) {
	set, err := products.Catalogue()
	require.NoError(t, err)
	assert.Equal(t, []string{"polymer-sealant"}, nearProducts("polimer-sealant", set))
	assert.Equal(t, []string{"polymer-sealant"}, nearProducts("polimer", set))
	assert.Greater(t, len(nearProducts("compuond", set)), 1, "all of them")
	assert.Empty(t, nearProducts("xyzzy", set))
}

// A zone that is misspelt is wrong usage, and told which is near.
func TestWhyUnknownZone(t *testing.T) {
	r := newRun(t)
	assert.Equal(t, 2, r.do("why", "--demo", "--zone", "port sied", "--with", "soap-wash").code)
	assert.Equal(t, "dewgap: --zone: the boat has no zone \"port sied\"\n   fix: did you mean port side?\n", r.err.String())
	assert.Equal(t, 2, r.do("why", "--demo", "--zone", "mast", "--with", "soap-wash").code)
	assert.Contains(t, r.err.String(), "take one of port side, ")
}

func TestVersionJSON(t *testing.T) {
	r := newRun(t)
	require.Equal(t, 0, r.do("version", "--json").code, r.err.String())
	var v answer.Version
	require.NoError(t, json.Unmarshal(r.out.Bytes(), &v))
	set, err := products.Catalogue()
	require.NoError(t, err)
	assert.Equal(t, answer.VersionFormat, v.Format)
	assert.Equal(t, r.env.Version, v.Version)
	assert.Equal(t, set.Hash(), v.Catalogue)
	assert.NotEmpty(t, v.Go)
	assert.Contains(t, v.System, "/")
}

// Help on what there is none is wrong usage; on everything else it is help.
func TestHelpOnNothing(t *testing.T) {
	r := newRun(t)
	for _, line := range []string{"help nonsuch", "help book nonsuch"} {
		assert.Equal(t, 2, r.do(strings.Fields(line)...).code, line)
		assert.Contains(t, r.err.String(), "nonsuch\" to help with")
		assert.Empty(t, r.out.String(), line)
	}
	for _, line := range []string{"help", "help week", "help book", "help book show"} {
		assert.Equal(t, 0, r.do(strings.Fields(line)...).code, line)
		assert.Contains(t, r.out.String(), "Exit codes", line)
	}
}
