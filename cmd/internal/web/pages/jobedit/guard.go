package jobedit

import (
	"fmt"
	"reflect"

	"github.com/goccy/go-yaml"
)

// place leads to a value of a job: keys of mappings and indices of lists, from the top.
type place []any

// safely gives an edited text if it says what the text of before said, but for the
// value at was, and what stands at is in its place; an empty place is none. Any other
// difference means that the edit did not hit what it was meant to.
func safely(before, after []byte, err error, was, is place) ([]byte, error) {
	if err != nil {
		return nil, err
	}
	old, err := meaning(before)
	if err != nil {
		return nil, err
	}
	now, err := meaning(after)
	if err != nil {
		return nil, err
	}
	if !reflect.DeepEqual(without(old, was), without(now, is)) {
		return nil, ErrByHand
	}
	return after, nil
}

// meaning is what a text says, without how it is written.
func meaning(text []byte) (tree any, err error) {
	defer func() {
		if recover() != nil { // the parser is another's
			tree, err = nil, ErrByHand
		}
	}()
	if err := yaml.Unmarshal(text, &tree); err != nil {
		return nil, ErrByHand
	}
	return tree, nil
}

// without takes the value at a place out of a tree, which is changed.
func without(tree any, at place) any {
	if len(at) == 0 {
		return tree
	}
	switch node := tree.(type) {
	case map[string]any:
		key, ok := at[0].(string)
		if _, has := node[key]; !ok || !has {
			return tree
		}
		if len(at) == 1 {
			delete(node, key)
			return node
		}
		node[key] = without(node[key], at[1:])
	case []any:
		i, ok := at[0].(int)
		if !ok || i < 0 || i >= len(node) {
			return tree
		}
		if len(at) == 1 {
			return append(node[:i:i], node[i+1:]...)
		}
		node[i] = without(node[i], at[1:])
	}
	return tree
}

// zonePlaces are where a key of the zone of a name stands before and after it is set.
func zonePlaces(text []byte, name, key string) (was, is place) {
	tree, err := meaning(text)
	if err != nil {
		return nil, nil
	}
	top, _ := tree.(map[string]any)
	zones, _ := top["zones"].([]any)
	if len(zones) == 0 {
		return place{"zones"}, place{"zones"}
	}
	for i, z := range zones {
		if m, ok := z.(map[string]any); ok && m["name"] != nil && fmt.Sprint(m["name"]) == name {
			return place{"zones", i, key}, place{"zones", i, key}
		}
	}
	return nil, place{"zones", len(zones)}
}
