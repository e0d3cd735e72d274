package text

import (
	"bytes"
	"strings"
	"testing"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// lead is a line of a score: over 12 or 24 hours' bounds, with numbers where there
// are enough readings.
func lead(from, to float64, n int, numbers ...float64) answer.ScoreLead {
	l := answer.ScoreLead{FromH: from, ToH: to, Cases: 2 * n, Readings: n, HeldOf: 2 * n}
	if len(numbers) > 0 {
		l.Enough, l.Bias, l.MAE = true, &numbers[0], &numbers[1]
	}
	if len(numbers) > 2 {
		l.Held80 = &numbers[2]
	}
	return l
}

// aSeason is a score of an invented season.
func aSeason() *answer.Score {
	return &answer.Score{
		Format: answer.ScoreFormat, File: "/home/anna/book.sqlite", Answers: 41, Forecasts: 23, Readings: 36, Enough: 10,
		Weather: []answer.ScoreQuantity{
			{Quantity: "air", Unit: "K", Leads: []answer.ScoreLead{lead(0, 12, 24, 0.84, 1.21, 0.71), lead(12, 24, 11, -0.42, 1.6, 0.64), lead(96, 168, 4)}},
			{Quantity: "humidity", Unit: "%", Leads: []answer.ScoreLead{lead(0, 12, 18, -6.4, 8.2, 0.55)}},
			{Quantity: "wind", Unit: "m/s", Leads: []answer.ScoreLead{lead(24, 48, 12, 0.02, 0.9, 0.8)}},
			{Quantity: "surface", Unit: "K", Leads: []answer.ScoreLead{lead(0, 12, 15, -1.3, 2.4)}},
		},
		Work: answer.ScoreWork{
			Cases: 19, Enough: true, Held: 16, Brier: ptr(0.112), Skill: ptr(0.16), CalibrationError: ptr(0.083),
			Bins:    []answer.ScoreBin{{From: 0.6, To: 0.7, N: 3, Said: 0.65, Held: 2}, {From: 0.9, To: 1, N: 16, Said: 0.97, Held: 14}},
			Against: 2, AgainstHeld: 1, Unsaid: 1, Open: 5,
		},
		Warnings: []string{"answer 3 is left out, this dewgap cannot read it: no such form"},
	}
}

func TestScoreGolden(t *testing.T) {
	for unit, o := range bothUnits {
		t.Run(unit, func(t *testing.T) {
			golden(t, "score_"+unit+".txt", o, func(b *bytes.Buffer) error { return Score(b, aSeason(), o) })
		})
	}
}

func scorePage(t must, a *answer.Score, o Options) string {
	var b bytes.Buffer
	require.NoError(t, Score(&b, a, o))
	keepsTheRules(t, b.String(), o)
	return b.String()
}

func TestScore_NothingYet(t *testing.T) {
	page := scorePage(t, answer.NewScore(answer.ScoreFacts{File: "book.sqlite", Boat: "Kittiwake"}), Options{})
	assert.Contains(t, page, "what came: Kittiwake")
	assert.Contains(t, page, "0 answers, 0 forecasts, 0 readings")
	assert.Contains(t, page, "dewgap reading add")
	assert.Contains(t, page, "dewgap log outcome")
	assert.NotContains(t, page, "Brier")
}

// Under ten no number is shown that could be taken for a finding.
func TestScore_TooFew(t *testing.T) {
	a := aSeason()
	a.Work = answer.NewScore(answer.ScoreFacts{Work: []answer.Worked{{Confidence: 0.85, Held: true}, {Confidence: 0.9}}}).Work
	page := scorePage(t, a, Options{})
	assert.Contains(t, page, "Too few to tell whether 80 % was 80 %: 2 cases, it takes 10.")
	assert.Contains(t, page, "said 80-90 %           1   held 1")
	assert.Contains(t, page, "4-7 days               4   too few to tell: it takes 10")
	assert.NotContains(t, page, "Brier")
}

func TestScore_Skill(t *testing.T) {
	a := aSeason()
	a.Work.Skill = ptr(-0.2)
	assert.Contains(t, strings.Join(strings.Fields(scorePage(t, a, Options{})), " "), "no better than knowing only how many held.")
	a.Work.Skill = nil
	assert.Contains(t, strings.Join(strings.Fields(scorePage(t, a, Options{})), " "), "Brier score 0.112.")
}

func TestScore_BiasInWords(t *testing.T) {
	p := newPage(Options{})
	air := answer.ScoreQuantity{Quantity: "air"}
	assert.Equal(t, "0.8 °C too warm", untie(p.biasOf(air, "too warm", "too cold", 0.84)))
	assert.Equal(t, "0.4 °C too cold", untie(p.biasOf(air, "too warm", "too cold", -0.42)))
	assert.Equal(t, "right", p.biasOf(air, "too warm", "too cold", -0.04))
	us := newPage(Options{Units: "us"})
	assert.Equal(t, "1.8 °F too warm", untie(us.biasOf(air, "too warm", "too cold", 1)))
}

func TestScore_KeepsTheRules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := aSeason()
		a.Boat = rapid.String().Draw(t, "boat")
		a.File = rapid.String().Draw(t, "file")
		a.Warnings = []string{rapid.String().Draw(t, "warning")}
		a.Weather[0].Quantity = rapid.String().Draw(t, "quantity")
		a.Weather[0].Leads[0].Readings = rapid.IntRange(0, 1e6).Draw(t, "n")
		*a.Weather[1].Leads[0].Bias = rapid.Float64Range(-100, 100).Draw(t, "bias")
		scorePage(t, a, Options{Width: rapid.SampledFrom([]int{0, 40, 60, 80, 100}).Draw(t, "width"), Units: rapid.SampledFrom([]string{"", "us"}).Draw(t, "units")})
	})
}
