package answer

import (
	"encoding/json"
	"reflect"
	"time"
)

// Restore reads an answer back into v, a pointer to its type. Its times are on the clock
// of the place that it names, as in the answer itself: JSON tells their offsets only,
// and by those no day of a clock change can be told to its end.
func Restore(data []byte, v any) error {
	if err := json.Unmarshal(data, v); err != nil {
		return err
	}
	var of struct {
		Place struct{ Timezone string }
	}
	// Of an answer of no place, or of one that is not known here, the offsets remain.
	if err := json.Unmarshal(data, &of); err == nil && of.Place.Timezone != "" && of.Place.Timezone != "Local" {
		if loc, err := time.LoadLocation(of.Place.Timezone); err == nil {
			onClock(reflect.ValueOf(v), loc)
		}
	}
	return nil
}

// onClock puts every time within v on the clock of a zone.
func onClock(v reflect.Value, loc *time.Location) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			onClock(v.Elem(), loc)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			onClock(v.Index(i), loc)
		}
	case reflect.Struct:
		if t, ok := v.Interface().(time.Time); ok {
			if !t.IsZero() {
				v.Set(reflect.ValueOf(t.In(loc)))
			}
			return
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				onClock(v.Field(i), loc)
			}
		}
	}
}
