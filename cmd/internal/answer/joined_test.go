package answer

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestLesser(t *testing.T) {
	one, two := some(1, cent), some(2, cent)
	assert.Equal(t, one, lesser(one, two))
	assert.Equal(t, one, lesser(two, one))
	assert.Equal(t, one, lesser(nil, one))
	assert.Equal(t, one, lesser(one, nil))
	assert.Nil(t, lesser(nil, nil))
}
