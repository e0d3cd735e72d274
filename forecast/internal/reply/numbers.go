package reply

import (
	"errors"
	"fmt"
	"strconv"
)

// Series is the values of one column as the service sent them, in its own unit
// and at its own times. Known is false where it sent null.
type Series struct {
	Values []float64
	Known  []bool
}

// Any reports whether at least one value is known.
func (s Series) Any() bool {
	for _, k := range s.Known {
		if k {
			return true
		}
	}
	return false
}

// Numbers reads a JSON array of numbers and nulls into a Series, reusing the
// storage of buf. raw must be valid JSON. Text, even "NaN", is an error, for it
// is no number that a service of ours is known to send.
func Numbers(raw []byte, buf Series) (Series, error) {
	buf.Values, buf.Known = buf.Values[:0], buf.Known[:0]
	if len(raw) == 0 || raw[0] != '[' {
		return buf, errors.New("is no list of numbers")
	}
	for i, before := skipSpace(raw, 1), 0; i > before && i < len(raw) && raw[i] != ']'; {
		before = i
		end := skipValue(raw, i)
		v, known, err := number(raw[i:end])
		if err != nil {
			return buf, fmt.Errorf("value %d %w", len(buf.Values)+1, err)
		}
		buf.Values, buf.Known = append(buf.Values, v), append(buf.Known, known)
		i = skipComma(raw, end)
	}
	return buf, nil
}

// Number reads one JSON number or null.
func Number(raw []byte) (v float64, known bool, err error) { return number(raw) }

func number(raw []byte) (v float64, known bool, err error) {
	if len(raw) == 0 {
		return 0, false, errors.New("is not there")
	}
	switch c := raw[0]; {
	case c == 'n':
		return 0, false, nil
	case c == '-' || c >= '0' && c <= '9':
		if v, ok := decimal(raw); ok {
			return v, true, nil
		}
		v, err := strconv.ParseFloat(string(raw), 64)
		if err != nil {
			return 0, false, fmt.Errorf("is %s, which is no usable number", raw)
		}
		return v, true, nil
	}
	return 0, false, fmt.Errorf("is %.40s where a number should be", raw)
}

// powers of ten that float64 holds exactly.
var powers = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// decimal reads plain decimals of at most 15 digits, nearly all that services
// send. Both the digits and the power of ten are then exact in a float64, so
// that the one division rounds as [strconv.ParseFloat] would (Clinger 1990).
func decimal(raw []byte) (v float64, ok bool) {
	i, sign := 0, 1.0
	if raw[0] == '-' {
		i, sign = 1, -1
	}
	var digits uint64
	count, point := 0, -1
	for ; i < len(raw); i++ {
		switch c := raw[i]; {
		case c >= '0' && c <= '9':
			digits = digits*10 + uint64(c-'0')
			count++
		case c == '.' && point < 0:
			point = count
		default:
			return 0, false
		}
		if count > 15 {
			return 0, false
		}
	}
	if point < 0 {
		point = count
	}
	return sign * (float64(digits) / powers[count-point]), true
}
