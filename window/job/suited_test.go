package job

import (
	"fmt"
	"strings"
	"testing"

	"dewgap/products"
	"dewgap/window/boat"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The zones of a flybridge cruiser that a step without `on` takes, by the
// finishes that each class of product lists (practitioner's table of zones:
// compound and sealant on gelcoat, paint sealant on the masks, metal polish on
// rails, protectants on vinyl and clear vinyl, sealer on non-skid, teak last).
func TestSuited_FlybridgeCruiser(t *testing.T) {
	gelcoat := []string{"port side", "starboard side", "transom", "foredeck", "port superstructure side",
		"starboard superstructure side", "superstructure front", "helm", "hardtop top", "port radar arch", "starboard radar arch"}
	masks := []string{"port window mask", "starboard window mask", "windscreen mask"}
	for id, want := range map[string][]string{
		"compound-dual-action":   gelcoat,
		"compound-rotary":        gelcoat,
		"finishing-polish":       gelcoat,
		"paint-sealant":          masks,
		"metal-polish":           {"rails"},
		"vinyl-protectant":       {"cockpit seats", "helm seats"},
		"clear-vinyl-protectant": {"enclosure front", "port enclosure", "starboard enclosure"},
		"non-skid-sealer":        {"port side deck", "starboard side deck"},
		"teak-cleaner":           {"swim platform", "cockpit sole"},
		"teak-sealer":            {"swim platform", "cockpit sole"},
		"teak-oil":               {"swim platform", "cockpit sole"},
	} {
		j := stepOn(t, "flybridge-cruiser", true, id)
		assert.Equal(t, want, zoneNames(j, j.Steps[0].On), id)
	}
	j := stepOn(t, "flybridge-cruiser", true, "polymer-sealant")
	assert.ElementsMatch(t, append(gelcoat, masks...), zoneNames(j, j.Steps[0].On))
}

// A strip or wipe-down that names no zone is for what gets a film after it; one that
// names its zones, or that nothing follows, is done where it is asked.
func TestSuited_StripsWhatIsSealed(t *testing.T) {
	steps := func(list ...string) *Job {
		return parse(t, jobWith("boat: {kind: flybridge-cruiser, length_m: 13, bow: 0, afloat: true}", "zones:!",
			"steps:\n  - {do: "+strings.Join(list, "}\n  - {do: ")+"}"))
	}
	const wash, strip, wipe = "wash, with: soap-wash", "strip wash, with: soap-wash", "wipe down, with: panel-wipe"
	const seal, varnish = "seal, with: polymer-sealant, on: [transom, foredeck]", "coat, with: varnish, on: [cockpit sole]"
	j := steps(wash, strip, wipe, seal)
	assert.Len(t, j.Steps[0].On, len(j.Zones), "all of her is washed")
	assert.ElementsMatch(t, []string{"transom", "foredeck"}, zoneNames(j, j.Steps[1].On))
	assert.ElementsMatch(t, []string{"transom", "foredeck"}, zoneNames(j, j.Steps[2].On))
	j = steps(strip, seal, "seal, name: masks, with: paint-sealant, on: [windscreen mask]")
	assert.ElementsMatch(t, []string{"transom", "foredeck", "windscreen mask"}, zoneNames(j, j.Steps[0].On), "of all that is sealed later")
	j = steps(strip, varnish)
	assert.Equal(t, []string{"cockpit sole"}, zoneNames(j, j.Steps[0].On))
	j = steps(strip, seal, "protect, with: non-skid-sealer, on: [port side deck]", "bed, with: polysulfide-sealant, on: [helm]")
	assert.ElementsMatch(t, []string{"transom", "foredeck", "port side deck", "helm"}, zoneNames(j, j.Steps[0].On), "of whatever rain could spoil")
	j = steps("strip wash, with: soap-wash, on: [helm, transom]", seal)
	assert.Equal(t, []string{"helm", "transom"}, zoneNames(j, j.Steps[0].On), "what is named is meant")
	j = steps(seal, strip)
	assert.Len(t, j.Steps[1].On, len(j.Zones), "no film follows")
	j = steps(wipe, "protect, with: metal-polish, on: [rails]")
	assert.Greater(t, len(j.Steps[0].On), 1, "nor does one here")
}

// stepOn is a job with a kind of boat and one step without `on`.
func stepOn(t *testing.T, kind string, afloat bool, id string) *Job {
	class, ok := catalogue(t).Class(id)
	require.True(t, ok, id)
	return parse(t, jobWith(fmt.Sprintf("boat: {kind: %s, length_m: 13, bow: 0, afloat: %t}", kind, afloat), "zones:!",
		fmt.Sprintf("steps:\n  - {do: %s, with: %s}", class.Do, id)))
}

func TestSuited_Ashore(t *testing.T) {
	bottom := []string{"port underwater body", "starboard underwater body", "port keel", "starboard keel"}
	for _, id := range []string{"antifouling", "epoxy-barrier"} {
		j := stepOn(t, "sailing-yacht", false, id)
		assert.Equal(t, bottom, zoneNames(j, j.Steps[0].On), id)
	}
	j := stepOn(t, "flybridge-cruiser", false, "polymer-sealant")
	assert.Contains(t, zoneNames(j, j.Steps[0].On), "port lower side")
	j = stepOn(t, "sailing-yacht", true, "varnish")
	assert.Equal(t, []string{"toe rail"}, zoneNames(j, j.Steps[0].On))
}

// Every class on every kind: either it suits some zones, each with a finish
// that it lists, or the mistake says that it suits none.
func TestSuited_EveryClassOnEveryKind(t *testing.T) {
	set := catalogue(t)
	for _, kind := range boat.Kinds() {
		for _, id := range set.IDs() {
			class, _ := set.Class(id)
			text := jobWith(fmt.Sprintf("boat: {kind: %s, length_m: 13, bow: 0, afloat: false}", kind), "zones:!",
				fmt.Sprintf("steps:\n  - {do: %s, with: %s}", class.Do, id))
			j, err := Parse("job.yaml", []byte(text), set, Options{})
			if err != nil {
				assert.Contains(t, err.Error(), fmt.Sprintf("`%s` suits the finish of no zone", id))
				continue
			}
			checkSuited(t, j, class)
		}
	}
}

func checkSuited(t *testing.T, j *Job, class products.Class) {
	on := j.Steps[0].On
	require.NotEmpty(t, on)
	taken := map[int]bool{}
	for _, i := range on {
		taken[i] = true
		assert.Equal(t, products.FitSuited, class.Fit(j.Zones[i].Finish.Name), "%s on %s", class.ID, j.Zones[i].Name)
	}
	for i, z := range j.Zones {
		if !taken[i] {
			assert.NotEqual(t, products.FitSuited, class.Fit(z.Finish.Name), "%s left out %s", class.ID, z.Name)
		}
	}
}

// Every class may be used under its own kind of work, and a sealant under no
// other.
func TestSuited_DoOfEveryClass(t *testing.T) {
	set := catalogue(t)
	for _, id := range set.IDs() {
		class, _ := set.Class(id)
		for _, do := range doWords {
			text := jobWith(fmt.Sprintf("steps:\n  - {do: %s, with: %s, on: port side}", do, id))
			_, err := Parse("job.yaml", []byte(text), set, Options{})
			if do == "inspect" {
				require.Error(t, err)
				continue
			}
			if fits(do, class) {
				assert.NoError(t, err, "%s with %s", do, id)
			} else {
				require.Error(t, err, "%s with %s", do, id)
				assert.Contains(t, err.Error(), "write do: "+class.Do)
			}
		}
		assert.True(t, fits(class.Do, class), id)
	}
}

// A person's own product is used as the class that it is like.
func TestSuited_OwnProduct(t *testing.T) {
	set, _, err := catalogue(t).With("own.yaml", []byte("products: [{id: my-sealant, like: polymer-sealant, do: seal}]"))
	require.NoError(t, err)
	text := jobWith("steps:\n  - {do: seal, with: my-sealant}")
	j, err := Parse("job.yaml", []byte(text), set, Options{})
	require.NoError(t, err)
	assert.Equal(t, []int{0}, j.Steps[0].On)

	errs := mistakes(t, text)
	require.Len(t, errs, 1)
	assert.Contains(t, errs[0].Message, "unknown product `my-sealant`")
	_, err = Parse("job.yaml", []byte(strings.Replace(text, "my-sealant", "my-sealent", 1)), set, Options{})
	require.Error(t, err)
	assert.Contains(t, err.Error(), "did you mean `my-sealant`?")
}

// The finishes that a zone may have are those that a class may list.
func TestFinishes_AreTheProducts(t *testing.T) {
	assert.ElementsMatch(t, products.Finishes(), finishNames())
}
