package jobedit

import (
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const sample = `# the boat of the harbour master's dog
job: Spring clean
zones:
  - name: port side   # towards the quay
    finish: navy-gelcoat # faded
  - {name: "foredeck", salt: true} # hosed
steps:
  - {do: wash, with: soap-wash}   # first
  # what the owner wants most
  - do: seal
    with: polymer-sealant
    on: [port side, "foredeck"]  # not the transom
people: 2
`

func TestZoneReplacesAValueInABlock(t *testing.T) {
	out, err := Zone([]byte(sample), "port side", []Change{{"finish", Text("white-gelcoat")}})
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(sample, "finish: navy-gelcoat #", "finish: white-gelcoat #", 1), string(out))
}

func TestZoneAddsAKeyToABlock(t *testing.T) {
	out, err := Zone([]byte(sample), "port side", []Change{{"area_m2", "18.5"}})
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(sample, "towards the quay\n", "towards the quay\n    area_m2: 18.5\n", 1), string(out))
}

func TestZoneChangesBraces(t *testing.T) {
	out, err := Zone([]byte(sample), "foredeck", []Change{{"salt", "false"}, {"access", Text("ladder")}})
	require.NoError(t, err)
	assert.Contains(t, string(out), `  - {name: "foredeck", salt: false, access: ladder} # hosed`)
}

func TestZoneOfThePresetIsAdded(t *testing.T) {
	out, err := Zone([]byte(sample), "swim platform", []Change{{"finish", Text("teak")}, {"salt", "true"}})
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(sample, "# hosed\n", "# hosed\n  - {name: swim platform, finish: teak, salt: true}\n", 1), string(out))
	out, err = Zone([]byte("job: x"), "transom", []Change{{"finish", Text("teak")}})
	require.NoError(t, err)
	assert.Equal(t, "job: x\nzones:\n  - {name: transom, finish: teak}\n", string(out))
}

func TestStepChangesProductAndZones(t *testing.T) {
	out, err := Step([]byte(sample), 1, []Change{{"with", Text("carnauba-wax")}, {"on", List([]string{"transom", `a "b", c`})}})
	require.NoError(t, err)
	want := strings.Replace(sample, "with: polymer-sealant", "with: carnauba-wax", 1)
	want = strings.Replace(want, `[port side, "foredeck"]  #`, `[transom, "a \"b\", c"]  #`, 1)
	assert.Equal(t, want, string(out))
}

func TestStepsComeAndGo(t *testing.T) {
	out, err := AddStep([]byte(sample), []Change{{"do", Text("protect")}, {"with", Text("vinyl-protectant")}})
	require.NoError(t, err)
	assert.Equal(t, strings.Replace(sample, "# not the transom\n", "# not the transom\n  - {do: protect, with: vinyl-protectant}\n", 1), string(out))
	back, err := RemoveStep(out, 2)
	require.NoError(t, err)
	assert.Equal(t, sample, string(back))
	out, err = RemoveStep([]byte(sample), 1)
	require.NoError(t, err)
	assert.NotContains(t, string(out), "seal")
	assert.Contains(t, string(out), "people: 2")
}

func TestLineEndsStayAsTheyAre(t *testing.T) {
	out, err := Zone([]byte(strings.ReplaceAll(sample, "\n", "\r\n")), "port side", []Change{{"salt", "true"}})
	require.NoError(t, err)
	assert.Zero(t, strings.Count(strings.ReplaceAll(string(out), "\r\n", ""), "\n"))
	assert.Contains(t, string(out), "    salt: true\r\n")
}

func TestColumnsAreCharacters(t *testing.T) {
	out, err := Zone([]byte("zones:\n  - {name: \"proa 🛶 žluť\", finish: teak, salt: true} # ř\n"), "proa 🛶 žluť", []Change{{"finish", Text("canvas")}})
	require.NoError(t, err)
	assert.Equal(t, "zones:\n  - {name: \"proa 🛶 žluť\", finish: canvas, salt: true} # ř\n", string(out))
}

func TestRefusals(t *testing.T) {
	for name, text := range map[string]string{
		"no mapping": "- a\n", "braces all round": "{steps: [{do: wash}]}\n", "no YAML": "a: [", "no steps": "job: x\n",
		"two documents": "steps: []\n---\nsteps: []\n", "line ends of two kinds": "steps:\r\n  - {do: wash}\n", "": "",
		"a list in dashes": "steps:\n  - do: wash\n    with:\n      - a\n",
	} {
		_, err := Step([]byte(text), 0, []Change{{"with", Text("x")}})
		assert.ErrorIs(t, err, ErrByHand, name)
	}
	_, err := Step([]byte(sample), 2, []Change{{"with", Text("x")}})
	assert.ErrorContains(t, err, "no step 3")
	_, err = RemoveStep([]byte("steps:\n  - {do: wash}\n"), 0)
	assert.ErrorIs(t, err, ErrByHand, "the last step")
}

func TestWhatIsSetIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		zone := rapid.OneOf(rapid.SampledFrom([]string{"port side", "foredeck", "yes", "~", "#1", "a: b"}), rapid.StringN(1, 12, -1)).
			Filter(func(s string) bool { return strings.TrimSpace(s) == s && s != "" }).Draw(t, "zone")
		value := rapid.String().Draw(t, "value")
		out, err := Zone([]byte(sample), zone, []Change{{"finish", Text(value)}})
		require.NoError(t, err)
		out, err = Step(out, 1, []Change{{"on", List([]string{zone, value})}})
		require.NoError(t, err)
		var got struct {
			Job   string
			Zones []map[string]any
			Steps []map[string]any
		}
		require.NoError(t, yaml.Unmarshal(out, &got), "%s", out)
		found := false
		for _, z := range got.Zones {
			if z["name"] == zone {
				found = true
				assert.Equal(t, value, z["finish"])
			}
		}
		assert.True(t, found, "%s", out)
		assert.Equal(t, "Spring clean", got.Job)
		assert.Equal(t, []any{zone, value}, got.Steps[1]["on"])
		for _, comment := range []string{"# towards the quay", "# hosed", "# first", "# what the owner wants most", "# not the transom"} {
			assert.Contains(t, string(out), comment)
		}
	})
}

func FuzzEdits(f *testing.F) {
	f.Add([]byte(sample), "port side", "teak")
	f.Add([]byte("steps:\n  - {do: wash}"), "a", "b")
	f.Fuzz(func(t *testing.T, text []byte, zone, value string) {
		for _, edit := range []func() ([]byte, error){
			func() ([]byte, error) { return Zone(text, zone, []Change{{"finish", Text(value)}}) },
			func() ([]byte, error) { return Step(text, 0, []Change{{"with", Text(value)}}) },
			func() ([]byte, error) { return AddStep(text, []Change{{"do", Text(value)}}) },
			func() ([]byte, error) { return RemoveStep(text, 0) },
			func() ([]byte, error) { return Top(text, []Change{{"by", Scalar(value)}}) },
			func() ([]byte, error) { return Top(text, []Change{{"job", ""}}) },
		} {
			out, err := edit()
			if err != nil {
				continue
			}
			if len(out) == 0 {
				t.Error("an edit made an empty file")
			}
			if _, err := read(out); err != nil {
				t.Errorf("%q became %q, which cannot be read", text, out)
			}
		}
	})
}

func TestTopChangesTheFileItself(t *testing.T) {
	const dated = "job: x\nfrom: 2026-09-07   # Monday\nby: '2026-09-09'\nsteps:\n  - {do: wash}  # first\n# the end\n"
	top := func(text string, changes ...Change) string {
		out, err := Top([]byte(text), changes)
		require.NoError(t, err)
		return string(out)
	}
	assert.Equal(t, strings.Replace(dated, "2026-09-07 ", "2026-09-08 ", 1), top(dated, Change{"from", Scalar("2026-09-08")}))
	assert.Equal(t, strings.Replace(dated, "'2026-09-09'", `"soon"`, 1), top(dated, Change{"by", Value(`"soon"`)}))
	assert.Equal(t, strings.Replace(dated, "from: 2026-09-07   # Monday\n", "", 1), top(dated, Change{"from", ""}))
	assert.Equal(t, "job: x\nsteps:\n  - {do: wash}  # first\n# the end\n", top(dated, Change{"from", ""}, Change{"by", ""}))
	assert.Equal(t, strings.Replace(dated, "# first\n", "# first\npeople: 3\n", 1), top(dated, Change{"people", Scalar("3")}))
	assert.Equal(t, "job: x\r\nby: 2026-09-09\r\n", top("job: x\r\n", Change{"by", Scalar("2026-09-09")}))
	assert.Equal(t, "  job: x\n  by: 1\n", top("  job: x\n", Change{"by", "1"}), "indented as the others")
	assert.Equal(t, dated, top(dated, Change{"until", ""}), "what is not there need not be taken out")
	for name, text := range map[string]string{
		"a day on the next line": "job: x\nby:\n  2026-09-09\n", "nothing else": "by: 2026-09-09\n", "a mapping": "job: x\nby: {day: 1}\n",
		"no mapping": "- by\n", "folded text last": "by: 1\njob: |\n  x\n\n",
	} {
		changes := []Change{{"by", "2026-09-10"}, {"by", ""}, {"from", "2026-09-10"}}
		_, err := Top([]byte(text), changes)
		assert.ErrorIs(t, err, ErrByHand, name)
	}
}

func TestScalarsStandAsTheyAre(t *testing.T) {
	for _, s := range []string{"90", "-3.5", "2026-09-10", "NW"} {
		assert.Equal(t, s, string(Scalar(s)))
	}
	for _, s := range []string{"1_000", "0x1f", "1e3", "2026-09-10T12:00", "12:30", "~", "", "a: b", "no"} {
		assert.Equal(t, `"`, string(Scalar(s))[:1], s)
	}
}

// A key that is set at the top is read back, and taken out again leaves the file as it was.
func TestTopIsReadBackAndTakenOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.OneOf(rapid.SampledFrom([]string{"2026-09-10", "90", "# no", "a: b", "'", "\\"}), rapid.String()).
			Filter(func(s string) bool { return !strings.ContainsAny(s, "\r\n") }).Draw(t, "value")
		out, err := Top([]byte(sample), []Change{{"by", Scalar(value)}})
		require.NoError(t, err)
		var got map[string]any
		require.NoError(t, yaml.Unmarshal(out, &got), "%s", out)
		if _, quoted := strings.CutPrefix(string(Scalar(value)), `"`); quoted {
			assert.Equal(t, value, got["by"])
		}
		back, err := Top(out, []Change{{"by", ""}})
		require.NoError(t, err)
		assert.Equal(t, sample, string(back))
	})
}
