package products

import (
	"crypto/sha256"
	_ "embed"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"sync"
)

//go:embed classes.yaml
var catalogue []byte

// catalogueFile is the catalogue's name in messages.
const catalogueFile = "classes.yaml"

// Set is a collection of classes: the catalogue, or the catalogue with a
// person's own products over it. It never changes once made.
type Set struct {
	classes []Class // in catalogue order, then own products in file order
	plain   []Class // the catalogue itself, which like: refers to
}

// Catalogue reads the classes that the program brings along. An error
// means that the program was built from a broken catalogue. The set is made once, for
// it never changes.
func Catalogue() (*Set, error) { return theCatalogue() }

var theCatalogue = sync.OnceValues(func() (*Set, error) {
	if s := readySet(readyData, catalogue); s != nil {
		return s, nil
	}
	return readCatalogue()
})

func readCatalogue() (*Set, error) {
	r := &reader{file: catalogueFile}
	none := func(string) (Class, bool) { return Class{}, false }
	var list []Class
	if root := r.parse(catalogue); root != nil {
		list = r.products(root, false, none, nil)
	}
	if err := r.err(); err != nil {
		return nil, err
	}
	return &Set{classes: list, plain: list}, nil
}

// With puts a person's own products over the set and returns the result; the
// set itself stays as it is. file is the name for messages and data the
// content, in the shape of classes.yaml, each product with like: and the id of
// the class of the catalogue that it departs from; a product with a class's
// own id takes its place. What the file says outranks the class. The warnings
// name every bound looser than the class's hard one, and every band of the
// class that had to move. The error is of type Errors and lists all mistakes.
func (s *Set) With(file string, data []byte) (*Set, []string, error) {
	r := &reader{file: file}
	var list []Class
	if root := r.parse(data); root != nil {
		list = r.products(root, true, s.base, ids(s.plain))
	}
	if err := r.err(); err != nil {
		return nil, nil, err
	}
	out := &Set{classes: slices.Clone(s.classes), plain: s.plain}
	for _, c := range list {
		if i := indexOf(out.classes, c.ID); i >= 0 {
			out.classes[i] = c
		} else {
			out.classes = append(out.classes, c)
		}
	}
	return out, r.warnings, nil
}

// base finds a class of the catalogue, whatever own products lie over it.
func (s *Set) base(id string) (Class, bool) {
	if i := indexOf(s.plain, id); i >= 0 {
		return s.plain[i], true
	}
	return Class{}, false
}

// Class finds a class or an own product by its id. The result is a copy.
func (s *Set) Class(id string) (Class, bool) {
	if i := indexOf(s.classes, id); i >= 0 {
		return s.classes[i].clone(), true
	}
	return Class{}, false
}

// IDs lists every id: the catalogue's in its order, then own products in the
// order of their file.
func (s *Set) IDs() []string { return ids(s.classes) }

// Nearest finds the id that a misspelt one is most likely meant to be; false
// where none is near.
func (s *Set) Nearest(id string) (string, bool) { return nearest(id, s.IDs()) }

// Hash identifies the content of the set, in 64 hexadecimal digits: two sets
// with the same classes have the same, however their files are laid out.
func (s *Set) Hash() string {
	data, err := json.Marshal(s.classes)
	if err != nil { // no value of a class can fail to be written
		data = fmt.Append(nil, s.classes)
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

func ids(list []Class) []string {
	names := make([]string, len(list))
	for i, c := range list {
		names[i] = c.ID
	}
	return names
}

func indexOf(list []Class, id string) int {
	return slices.IndexFunc(list, func(c Class) bool { return c.ID == id })
}
