package reply

import (
	"encoding/json"
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestSplitObject(t *testing.T) {
	o, ok := SplitObject([]byte(`{ "a" : [1, {"b": "]}"}] , "q\"\u0041" :null,"s":"x\\","n":-1.5e3 }`))
	require.True(t, ok)
	require.Len(t, o, 4)
	assert.Equal(t, `[1, {"b": "]}"}]`, string(o.Get("a")))
	assert.Equal(t, `q"A`, o[1].Key)
	assert.Nil(t, o.Get(`q"A`), "null is as good as not there")
	assert.Equal(t, `-1.5e3`, string(o.Get("n")))
	s, ok := Text(o.Get("s"))
	assert.True(t, ok)
	assert.Equal(t, `x\`, s)

	o, ok = SplitObject([]byte(`{}`))
	assert.True(t, ok)
	assert.Empty(t, o)
	for _, raw := range []string{"", "[]", "1", `"{"`, "null"} {
		_, ok := SplitObject([]byte(raw))
		assert.False(t, ok, raw)
	}
}

func TestSplitArray(t *testing.T) {
	e, ok := SplitArray([]byte(` [1 ,"," , [ ] ,null]`)[1:])
	require.True(t, ok)
	require.Len(t, e, 4)
	assert.Equal(t, []string{"1", `","`, "[ ]", "null"}, []string{string(e[0]), string(e[1]), string(e[2]), string(e[3])})
	e, ok = SplitArray([]byte("[ ]"))
	assert.True(t, ok)
	assert.Empty(t, e)
	_, ok = SplitArray([]byte("{}"))
	assert.False(t, ok)
}

func TestTwice(t *testing.T) {
	for raw, want := range map[string]bool{
		`{"a":1,"b":2,"a":3}`: true, `{"a":1,"b":2}`: false, `{"":1,"":2}`: true,
		`{"a":1,"\u0061":2}`: true, `{}`: false,
	} {
		o, _ := SplitObject([]byte(raw))
		_, twice := o.Twice()
		assert.Equal(t, want, twice, raw)
	}
}

// The splitter finds in any JSON object what the standard library finds.
func FuzzSplitObject(f *testing.F) {
	f.Add([]byte(`{"a":[1,{"b":"]}"}],"c":null,"d":"\\"}`))
	f.Add([]byte(`{"\u00e9":1.0e-3,"x":{"y":[[]]}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		raw, bad := Check("", data)
		if bad != nil {
			return
		}
		o, ok := SplitObject(raw)
		var want map[string]json.RawMessage
		if err := json.Unmarshal(raw, &want); err != nil || want == nil {
			if ok && err == nil {
				t.Fatal("an object was split that is none")
			}
			return
		}
		if !ok {
			t.Fatal("an object was not split")
		}
		if _, twice := o.Twice(); twice {
			return // the library keeps the last, the splitter all
		}
		if len(o) != len(want) {
			t.Fatalf("%d fields instead of %d", len(o), len(want))
		}
		for _, field := range o {
			if string(want[field.Key]) != string(field.Value) {
				t.Fatalf("%q is %q instead of %q", field.Key, field.Value, want[field.Key])
			}
		}
	})
}

func TestNumbers(t *testing.T) {
	s, err := Numbers([]byte("[1, -2.5,null ,3e2, 0.1]"), Series{})
	require.NoError(t, err)
	assert.Equal(t, []float64{1, -2.5, 0, 300, 0.1}, s.Values)
	assert.Equal(t, []bool{true, true, false, true, true}, s.Known)
	assert.True(t, s.Any())

	s, err = Numbers([]byte("[null,null]"), s)
	require.NoError(t, err)
	assert.Len(t, s.Values, 2, "the storage is used again")
	assert.False(t, s.Any())

	for raw, reason := range map[string]string{
		`{}`:            "is no list of numbers",
		`[1,"NaN"]`:     `value 2 is "NaN" where a number should be`,
		`[1,[2]]`:       "value 2 is [2] where a number should be",
		`[true]`:        "value 1 is true where a number should be",
		`[1,1e999,2.0]`: "value 2 is 1e999, which is no usable number",
	} {
		_, err := Numbers([]byte(raw), Series{})
		assert.EqualError(t, err, reason, raw)
	}
}

// The fast way gives the same bits as strconv.
func TestNumberIsExact(t *testing.T) {
	same := func(text string) bool {
		want, err := strconv.ParseFloat(text, 64)
		got, known, err2 := Number([]byte(text))
		return known && err == nil && err2 == nil && math.Float64bits(got) == math.Float64bits(want)
	}
	for _, text := range []string{"0", "-0", "0.1", "22.77777777777778", "20.555555555555558", "123456789012345", "1234567890123456", "0.000000000000001", "9.999999999999999", "1e5", "-1.5E-7"} {
		assert.True(t, same(text), text)
	}
	rapid.Check(t, func(r *rapid.T) {
		v := rapid.Float64Range(-1e9, 1e9).Draw(r, "v")
		digits := rapid.IntRange(-1, 12).Draw(r, "digits")
		if text := strconv.FormatFloat(v, 'f', digits, 64); !same(text) {
			r.Fatal(text)
		}
	})
}

func TestUnmarshalSaysWhatIsWrong(t *testing.T) {
	var in struct {
		A float64          `json:"a"`
		B []string         `json:"b"`
		C map[string]int   `json:"c"`
		D string           `json:"d"`
		E struct{ F *int } `json:"e"`
	}
	for raw, reason := range map[string]string{
		`{"a":"x"}`:       "layer.a is of type string where a number should be",
		`{"b":1}`:         "layer.b is of type number where an array should be",
		`{"c":[]}`:        "layer.c is of type array where an object should be",
		`{"d":1}`:         "layer.d is of type number where a string should be",
		`{"e":{"F":1.5}}`: "layer.e.F is of type number where a number should be",
		`7`:               "layer is of type number where an object should be",
	} {
		bad := Unmarshal("NWS", []byte(raw), &in, "layer")
		require.NotNil(t, bad, raw)
		assert.Equal(t, reason, bad.Reason, raw)
		var wrong *json.UnmarshalTypeError
		assert.ErrorAs(t, bad, &wrong)
	}
	assert.Nil(t, Unmarshal("NWS", []byte(`{"a":1}`), &in, "layer"))
}
