package pages

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"dewgap/cmd/internal/answer"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// whyPath is the address of every limit of a span at a moment.
func whyPath(x span, at time.Time) string {
	return "/why/kittiwake?" + url.Values{"zone": {x.Zone}, "product": {x.Product}, "step": {x.Step}, "at": {at.Format(time.RFC3339)}}.Encode()
}

// The heading of every limit is the week's answer for the slot, in state, reason and
// confidence, whatever the medians of the lines beneath say.
func TestWhyAnswersAsTheWeekDoes(t *testing.T) {
	for _, units := range []string{"metric", "us"} {
		s := standing(t, nil, func(c *Config) { c.Units = units })
		w, err := s.desk.Week(t.Context(), "kittiwake")
		require.NoError(t, err)
		all := spansOf(w.Answer, w.Answer.From, w.Answer.To)
		require.NotEmpty(t, all)
		states := map[string]bool{}
		for i := 0; i < len(all); i += 1 + len(all)/14 {
			x := all[i]
			at := x.From.Add(x.To.Sub(x.From) / 2).Truncate(10 * time.Minute)
			page := s.get(whyPath(x, at))
			require.Equal(t, http.StatusOK, page.Code)
			main := decent(t, "/why", page.Body.String()).named("main")[0]
			head, _, _ := strings.Cut(main.text(), "Every limit at")
			says(t, head, stateOf(x.State).Word, stopped(answer.Capital(s.pages.voice.because(x.Binding))), answer.Capital(x.Step)+", as the week has it from "+clock(x.From))
			assert.Equal(t, answer.Workable(x.State), strings.Contains(head, "the best block holds in"), "%+v", x)
			says(t, main.text(), "Each line is the median of the forecasts alone; the answer above is that of the week")
			states[x.State] = true
		}
		assert.Greater(t, len(states), 1, "more than one state was looked at")
		assert.Empty(t, s.faults)
	}
}

// A product that the job does not use on the zone has no row in the week: then the
// heading is the explanation's own, and says nothing of a week.
func TestWhyOfAnotherProduct(t *testing.T) {
	s := standing(t, nil)
	w := s.get("/why/kittiwake?zone=port+side&product=carnauba-wax&at=2026-09-08T10:00:00-04:00")
	require.Equal(t, http.StatusOK, w.Code)
	text := decent(t, "/why", w.Body.String()).text()
	says(t, text, "Each line is the median of the forecasts alone.")
	assert.NotContains(t, text, "as the week has it")
}

// Salt that was read is no-go beside the product that waits for the wash, and the heading
// says what it takes as done.
func TestWhyOfASaltyPanel(t *testing.T) {
	s := standing(t, nil)
	require.Equal(t, http.StatusSeeOther, s.post("/morning/kittiwake", url.Values{"salt": {"yes"}}).Code)
	w := s.get("/why/kittiwake?zone=port+side&product=polymer-sealant&at=2026-09-08T10:00:00-04:00")
	require.Equal(t, http.StatusOK, w.Code)
	text := decent(t, "/why", w.Body.String()).text()
	says(t, text, "once the salt is washed off", stateOf("no-go").Word+" Salt read ", "flood rinse, then wash, before any pad or product touches it")
}

func TestRowAtFindsTheSlot(t *testing.T) {
	at := func(h int) time.Time { return six.Add(time.Duration(h) * time.Hour) }
	w := &answer.Week{From: at(0), To: at(24),
		Windows: []answer.Window{{Step: "seal", Product: "wax", Zone: "a", From: at(2), To: at(4), State: "go", Confidence: 0.4, Best: &answer.Block{Confidence: 0.7}},
			{Step: "again", Product: "wax", Zone: "a", From: at(3), To: at(5), State: "marginal", Confidence: 0.3}},
		Refusals: []answer.Refusal{{Step: "seal", Product: "wax", Zone: "a", From: at(4), To: at(6), State: "no-go"}}}
	ask := func(zone, product, step string, h int) (string, float64) {
		row, in := rowAt(w, &answer.Why{Zone: zone, Product: product, At: at(h)}, step)
		c := 0.0
		if in != nil {
			c = sureOf(*in)
		}
		if row == nil {
			return "", c
		}
		return row.Step + " " + row.State, c
	}
	for _, c := range []struct {
		zone, product, step string
		h                   int
		want                string
		sure                float64
	}{
		{"a", "wax", "", 2, "seal go", 0.7}, {"a", "wax", "", 3, "seal go", 0.7}, {"a", "wax", "again", 3, "again marginal", 0.3},
		{"a", "wax", "seal", 4, "seal no-go", 0}, {"a", "wax", "seal", 6, "", 0}, {"a", "wax", "seal", 1, "", 0},
		{"b", "wax", "", 2, "", 0}, {"a", "soap", "", 2, "", 0}, {"a", "wax", "wash", 2, "", 0},
	} {
		got, sure := ask(c.zone, c.product, c.step, c.h)
		assert.Equal(t, c.want, got, "%+v", c)
		assert.Equal(t, c.sure, sure, "%+v", c)
	}
}

// What the page says of a window is the share that is at least go, of the block that is go
// or, where no whole one is, of the hours themselves.
func TestHoldsInSaysOfWhat(t *testing.T) {
	of := answer.Source{Members: 1, Dressed: 30}
	some := 0.1
	w := &answer.Window{State: "go", Confidence: 0.9, Best: &answer.Block{State: "marginal", Confidence: 0.8}, GoBlock: &answer.Block{State: "go", Confidence: 0.6}}
	assert.Equal(t, "the best block holds in "+tied("18 of 30 futures"), holdsIn(w, of))
	w.GoBlock, w.Short, w.GoConfidence = nil, true, &some
	assert.Equal(t, "these hours hold in "+tied("only 3 of 30 futures"), holdsIn(w, of))
	ideal := &answer.Window{State: "ideal", Best: &answer.Block{State: "ideal", Confidence: 0.5}, GoBlock: &answer.Block{State: "ideal", Confidence: 1}}
	assert.Equal(t, "the best block holds in "+tied("30 of 30 futures")+", as go or better", holdsIn(ideal, of))
	assert.Empty(t, holdsIn(w, answer.Source{Members: 1}))
}
