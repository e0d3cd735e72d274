package forecast

import (
	"fmt"
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadError(t *testing.T) {
	e := &ReadError{Service: "NWS", Reason: "it is empty", Fix: "fetch again", Err: io.EOF}
	assert.Equal(t, "NWS reply: it is empty", e.Error())
	assert.Equal(t, "forecast reply: it is empty", (&ReadError{Reason: "it is empty"}).Error())
	assert.ErrorIs(t, e, io.EOF)

	var got *ReadError
	require.ErrorAs(t, fmt.Errorf("reading: %w", e), &got)
	assert.Equal(t, "fetch again", got.Fix)
}
