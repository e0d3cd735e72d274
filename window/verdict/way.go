package verdict

// Way is how a limit holds where its name and figure alone would mislead.
type Way uint8

// The ways.
const (
	Plain    Way = iota // by its value against its bound
	Arid                // cure: the air is too dry, rather than the panel too cold; the figures are its humidity, %
	Raining             // film: rain or spray falls on the panel, whatever lies there already: no figure
	Dripping            // film: an overhang drips on it: no figure
	Chance              // rain_free: rain that a bare probability tells may come so soon; it is stated for later
	Towelled            // film: it is there, and a towel takes it off
	Soaking             // film: it is there, and bare wood takes it in; the drying clock tells
	ways
)

// figure reports whether the way has a value and a bound.
func (w Way) figure() bool { return w != Raining && w != Dripping }

// Most is the way that is there most often, the plainer of equals.
func Most(list func(yield func(Way) bool)) Way {
	var count [ways]int
	for w := range list {
		count[w]++
	}
	most := Plain
	for w := range ways {
		if count[w] > count[most] {
			most = w
		}
	}
	return most
}

// lies is how the water on a panel holds in a slot.
func (j *Judge) lies(i int) Way {
	flags, _ := j.sight.lying()
	f := flags[i]
	over := f&lieKnown != 0 && j.series.Film[i] > j.water.most
	switch {
	case j.water.wet[i] && f&lieFalls != 0 && !over:
		if j.series.Wets[i] && !j.series.Fog[i] && (j.series.Hangs == nil || !j.series.Hangs[i]) {
			return Raining
		}
		return Dripping
	case over && !j.water.wet[i] && j.water.soaks:
		return Soaking
	case over && !j.water.wet[i]:
		return Towelled
	}
	return Plain
}
