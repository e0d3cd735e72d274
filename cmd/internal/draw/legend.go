package draw

// legend sets samples with their words, line by line.
type legend struct {
	*canvas
	x, y float64
	left float64 // where further lines begin
}

// sampleWide is the room of a sample, pixels.
const sampleWide = 22.0

// item sets one sample, drawn at x over the baseline y, and its words.
func (l *legend) item(words string, sample func(x, y float64)) {
	wide := sampleWide + 6 + width(words, 12) + 14
	if l.x > l.left && l.x+wide > l.wide-edge+14 {
		l.x, l.y = l.left, l.y+24
	}
	sample(l.x, l.y+14)
	l.text("s", l.x+sampleWide+6, l.y+14, atStart, words, 12, 0)
	l.x += wide
}

// states are the samples of the five states, blank hours and the base's weight.
func (l *legend) states() {
	l.item("ideal", func(x, y float64) { l.rect("ideal", x, y-idealHigh+2, sampleWide, idealHigh) })
	l.item("go", func(x, y float64) { l.rect("go", x, y-goHigh+2, sampleWide, goHigh) })
	l.item("marginal: only with your yes", func(x, y float64) {
		l.rect("marginal", x, y-marginalHigh+2, sampleWide, marginalHigh)
		l.path("hatch", hatch(x, y-marginalHigh+2, sampleWide, marginalHigh))
	})
	l.item("no-go; blank: outside working hours", func(x, y float64) {
		var t trail
		t.to("M", x, y+1).to("L", x+sampleWide, y+1)
		cross(&t, x+sampleWide/2, y-4)
		l.path("nogo", t.String())
	})
	l.item("unknown", func(x, y float64) {
		l.path("unknown", line(x+1, y, x+sampleWide))
		l.text("t q", x+sampleWide/2, y-3.5, atMiddle, "?", 11, 0)
	})
	l.item("thicker base: more forecasts agree", func(x, y float64) {
		l.rect("sure", x, y-4, sampleWide/2-1, sureLow)
		l.rect("sure", x+sampleWide/2+1, y-4, sampleWide/2-1, sureHigh)
	})
}

func (l *legend) clock(kind string, x, y float64) {
	l.path("clock", line(x, y-4, x+sampleWide-6))
	clockMark(l.canvas, kind, x+sampleWide-6, y-4)
}

// marks are the samples of planned work, water, clocks and night.
func (l *legend) marks() {
	l.item("planned work", func(x, y float64) { pennant(l.canvas, x+4, x+18, y-15, y) })
	l.item("panel wet", func(x, y float64) { l.path("wet", line(x, y-2, x+sampleWide)) })
	l.item("may be rained on", func(x, y float64) { l.clock("rain", x, y) })
	l.item("may be dewed on", func(x, y float64) { l.clock("dew", x, y) })
	l.item("cured", func(x, y float64) { l.clock("cure", x, y) })
	l.item("night", func(x, y float64) { l.rect("night", x, y-12, sampleWide, 15) })
}
