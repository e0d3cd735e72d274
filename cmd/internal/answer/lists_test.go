package answer

import (
	"bytes"
	"encoding/json"
	"math"
	"testing"

	"dewgap/forecast"
	"dewgap/products"
	"dewgap/window/job"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// thunderColumns are those that tell whether it thunders.
var thunderColumns = []forecast.Quantity{forecast.WeatherCode, forecast.ThunderProbability}

func TestWrite(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, Write(&out, Failure{Error: "a < b & c", Where: "job.yaml:3:5"}))
	assert.Equal(t, `{"error":"a < b & c","where":"job.yaml:3:5","fix":""}`+"\n", out.String())
	assert.Error(t, Write(&out, map[string]float64{"v": math.NaN()}))
}

func TestNewProducts(t *testing.T) {
	set, err := products.Catalogue()
	require.NoError(t, err)
	var list []products.Class
	for _, id := range set.IDs() {
		c, _ := set.Class(id)
		list = append(list, c)
	}
	p := NewProducts(list, nil)
	assert.Equal(t, ProductsFormat, p.Format)
	require.Len(t, p.Products, len(list))
	for _, one := range p.Products {
		assert.NotEmpty(t, one.Limits, one.ID)
		for _, l := range one.Limits {
			assert.NotEmpty(t, l.Source, "%s %s: every number shown has a source", one.ID, l.Key)
			assert.NotNil(t, l.Default, "%s %s", one.ID, l.Key)
		}
	}
	data, err := json.Marshal(p)
	require.NoError(t, err)
	assert.NotContains(t, string(data), `"cautions":null`)
}

func TestNewCheck(t *testing.T) {
	b := newBoard(t, "wash", "seal")
	b.f.Job.Steps[1].On = []int{1}
	c := NewCheck(b.f.Job)
	assert.Equal(t, []CheckStep{
		{Step: "wash", Do: "wash", Product: "wash-class", Zones: []string{"port side", "foredeck"}},
		{Step: "seal", Do: "seal", Product: "seal-class", Zones: []string{"foredeck"}},
	}, c.Steps)
	assert.InDelta(t, 18, *c.Zones[0].AreaM2, 0)
	assert.Nil(t, c.Zones[1].AreaM2)
	assert.Equal(t, []string{}, c.Warnings)
	assert.Equal(t, []CheckZone{}, NewCheck(&job.Job{}).Zones)
}
