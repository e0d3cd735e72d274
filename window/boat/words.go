package boat

import "fmt"

// The words of the job file, in the order of the constants.
var (
	shelterWords = [...]string{"open", "hardtop", "canvas", "shed"}
	accessWords  = [...]string{"deck", "ladder", "harness", "float", "ashore"}
	skinWords    = [...]string{"cored", "solid", "thick", "plate", "plank", "keel", "tube"}
	behindWords  = [...]string{"cabin", "tank", "engine", "water", "outside"}
)

// String is the shelter's word in the job file.
func (s Shelter) String() string { return word("Shelter", shelterWords[:], int(s)) }

// String is the access's word in the job file.
func (a Access) String() string { return word("Access", accessWords[:], int(a)) }

// String is the skin's word in the job file.
func (s Skin) String() string { return word("Skin", skinWords[:], int(s)) }

// String is the word in the job file for what lies behind.
func (b Behind) String() string { return word("Behind", behindWords[:], int(b)) }

// ShelterWords lists the words that a zone's shelter may be, from none to all
// round; the index of a word is its Shelter.
func ShelterWords() []string { return append([]string(nil), shelterWords[:]...) }

// AccessWords lists the words for how a zone is reached; the index of a word is
// its Access.
func AccessWords() []string { return append([]string(nil), accessWords[:]...) }

// SkinWords lists the words for a zone's build; the index of a word is its Skin.
func SkinWords() []string { return append([]string(nil), skinWords[:]...) }

// BehindWords lists the words for what lies behind a skin; the index of a word
// is its Behind.
func BehindWords() []string { return append([]string(nil), behindWords[:]...) }

func word(kind string, words []string, i int) string {
	if i < len(words) {
		return words[i]
	}
	return fmt.Sprintf("%s(%d)", kind, i)
}

// RoofView is the share of a zone's upper view, 0–1, that the shelter takes up
// when the zone does not say. Under a hardtop a twentieth to a fifth of the sky
// stays in view (common practice), here a tenth; a canvas close above leaves a
// twentieth at its edges (common practice); a shed leaves none.
func (s Shelter) RoofView() float64 {
	switch s {
	case Hardtop:
		return 0.9
	case Canvas:
		return 0.95
	case Shed:
		return 1
	}
	return 0
}

// Laminate reports whether the skin is fibre-reinforced plastic of some
// thickness, so that another coat of colour leaves the build as it is.
func (s Skin) Laminate() bool { return s == Cored || s == Solid || s == Thick }
