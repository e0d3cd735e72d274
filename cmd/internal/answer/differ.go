package answer

import (
	"maps"
	"reflect"
	"slices"
	"strconv"
)

// differences adds the places in which two JSON values differ, keys in the order
// of the alphabet, lists by position.
func differences(list []Difference, path string, was, is any) []Difference {
	switch w := was.(type) {
	case map[string]any:
		if i, ok := is.(map[string]any); ok {
			return objects(list, path, w, i)
		}
	case []any:
		if i, ok := is.([]any); ok {
			return arrays(list, path, w, i)
		}
	}
	if reflect.DeepEqual(was, is) {
		return list
	}
	return append(list, Difference{path, was, is})
}

func objects(list []Difference, path string, was, is map[string]any) []Difference {
	keys := maps.Clone(was)
	maps.Copy(keys, is)
	for _, k := range slices.Sorted(maps.Keys(keys)) {
		list = differences(list, below(path, k), was[k], is[k])
	}
	return list
}

func arrays(list []Difference, path string, was, is []any) []Difference {
	for i := range max(len(was), len(is)) {
		var w, n any
		if i < len(was) {
			w = was[i]
		}
		if i < len(is) {
			n = is[i]
		}
		list = differences(list, below(path, strconv.Itoa(i)), w, n)
	}
	return list
}

func below(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}
