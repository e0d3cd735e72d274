package book

import (
	"bytes"
	"compress/gzip"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Books of before hold bodies that were packed harder: they are read as ever. What is packed
// now takes little more room than they do.
func TestBodiesPackedHarder(t *testing.T) {
	data, err := os.ReadFile("../../../products/classes.json") // much alike, as an answer is
	require.NoError(t, err)
	var before bytes.Buffer
	w := gzip.NewWriter(&before)
	_, err = w.Write(data)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	now, err := pack(data)
	require.NoError(t, err)
	assert.LessOrEqual(t, len(now), before.Len()*6/5)
	for _, packed := range [][]byte{before.Bytes(), now} {
		got, err := unpack(packed, int64(len(data)), keyOfBytes(data))
		require.NoError(t, err)
		assert.Equal(t, data, got)
	}
}
