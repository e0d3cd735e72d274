package draw

import "strings"

// tint is one colour of the palette by what it is for, in the schemes in which a
// picture can be seen: bright, dark, and on grey paper.
type tint struct{ name, bright, dark, paper string }

// palette is chosen so that each kind of mark keeps its order of brightness when
// colour is taken away, and that all words reach 4.5:1 on what they stand on
// (WCAG 2.2, 1.4.3). Tests compute both. Dark is for the eye that is used to the night:
// warm, with little blue, no brighter than it has to be, and one with the pages' night.
var palette = []tint{
	{"page", "#fcfcfa", "#100c08", "#ffffff"},
	{"ink", "#1b242c", "#f2d9b8", "#000000"},
	{"soft", "#4e5a64", "#c9ae8a", "#4a4a4a"},
	{"grid", "#dfe2e3", "#3a2e20", "#dcdcdc"},
	{"night", "#31436b", "#b08d5c", "#000000"}, // a veil of nightVeil
	{"ideal", "#0d4f4a", "#dcdf92", "#1c1c1c"},
	{"go", "#2f7f78", "#8f9955", "#5a5a5a"},
	{"marginal", "#8a5a12", "#e8a33d", "#5e5e5e"},
	{"marginal-fill", "#fbf1dc", "#2a1c0a", "#ffffff"},
	{"nogo", "#958472", "#8d7c68", "#828282"},
	{"unknown", "#5f5a8c", "#dba48c", "#5e5e5e"},
	// Shares of a month by quarters: the more days, the farther from the page.
	{"m1", "#5b958f", "#6f7440", "#8c8c8c"},
	{"m2", "#2f7f78", "#8f9955", "#666666"},
	{"m3", "#155f58", "#bcc276", "#404040"},
	{"m4", "#093a36", "#e3e6a6", "#101010"},
	{"water", "#2b66a8", "#b9b294", "#505050"},
	{"sea", "#e9eff3", "#1a140d", "#f4f4f4"},
	{"sun", "#c07a00", "#ffc14d", "#3c3c3c"},
	{"plan", "#1b242c", "#f7e3c4", "#000000"},
	{"band", "#eef1e6", "#1d1a0e", "#f3f3f3"},
	{"band-best", "#e0e8d2", "#2a270f", "#e6e6e6"},
	{"l0", "#a63a12", "#ff8a5c", "#000000"},
	{"l1", "#1d55a6", "#ecdcae", "#3a3a3a"},
	{"l2", "#1c6b3c", "#a9b560", "#000000"},
	{"l3", "#7a2f8f", "#e39a9a", "#4c4c4c"},
	{"l4", "#6a5500", "#cfa738", "#000000"},
	{"l5", "#3c4752", "#a8967a", "#4c4c4c"},
	// Surface temperatures by steps of 5 K, from below 5 °C to 45 °C and more:
	// slate, sand, brick. The warmer, the farther from the page.
	{"t0", "#e3ebf1", "#1e1913", "#f4f4f4"},
	{"t1", "#cfdde6", "#2d251a", "#e6e6e6"},
	{"t2", "#c6cbb4", "#423524", "#d6d6d6"},
	{"t3", "#cfb984", "#5d4a2c", "#c4c4c4"},
	{"t4", "#d4a45f", "#7d6132", "#acacac"},
	{"t5", "#cf8446", "#a9743c", "#8c8c8c"},
	{"t6", "#ab552c", "#d68b4f", "#626262"},
	{"t7", "#833019", "#f0ab76", "#424242"},
	{"t8", "#5a1710", "#fad2b0", "#1e1e1e"},
	{"t0-ink", "#1b242c", "#f2d9b8", "#000000"},
	{"t1-ink", "#1b242c", "#f2d9b8", "#000000"},
	{"t2-ink", "#1b242c", "#f7e3c4", "#000000"},
	{"t3-ink", "#1b242c", "#f7e3c4", "#000000"},
	{"t4-ink", "#1b1208", "#f7e3c4", "#000000"},
	{"t5-ink", "#140c05", "#0d0a06", "#000000"},
	{"t6-ink", "#ffffff", "#140c05", "#ffffff"},
	{"t7-ink", "#ffffff", "#140c05", "#ffffff"},
	{"t8-ink", "#ffffff", "#140c05", "#ffffff"},
}

// rules are the classes, each declaration with the names of its colours in
// brackets: fill:[ink].
const rules = `.dg text{font-family:system-ui,-apple-system,"Segoe UI",Roboto,"DejaVu Sans",sans-serif;font-size:12px;fill:[ink];font-variant-numeric:tabular-nums}
.dg .page{fill:[page]}
.dg .h{font-size:16px;font-weight:600}
.dg .s{fill:[soft]}
.dg .b{font-weight:600}
.dg .t{font-size:11px}
.dg .halo{paint-order:stroke;stroke:[page];stroke-width:3px;stroke-linejoin:round}
.dg .night{fill:[night];fill-opacity:.08}
.dg .grid{fill:none;stroke:[grid];stroke-width:1}
.dg .hour{fill:none;stroke:[grid];stroke-width:0.6;stroke-dasharray:1 3}
.dg .axis{fill:none;stroke:[soft];stroke-width:1}
.dg .now{fill:none;stroke:[ink];stroke-width:1;stroke-dasharray:2 2}
.dg .ideal{fill:[ideal]}
.dg .go{fill:[go]}
.dg .marginal{fill:[marginal-fill]}
.dg .hatch{fill:none;stroke:[marginal];stroke-width:1.2}
.dg .m1{fill:[m1]}.dg .m2{fill:[m2]}.dg .m3{fill:[m3]}.dg .m4{fill:[m4]}.dg .may{fill:[marginal]}
.dg .nogo{fill:none;stroke:[nogo];stroke-width:1}
.dg .unknown{fill:none;stroke:[unknown];stroke-width:2;stroke-linecap:round;stroke-dasharray:0 4}
.dg .q{fill:[unknown];font-weight:600}
.dg .sure{fill:[ink]}
.dg .rain{fill:[water]}
.dg .wet{fill:none;stroke:[water];stroke-width:2.2;stroke-dasharray:2.2 1.6}
.dg .clock{fill:none;stroke:[ink];stroke-width:1}
.dg .mark{fill:[page];stroke:[ink];stroke-width:1.3;stroke-linejoin:round}
.dg .plan{fill:[plan];stroke:[page];stroke-width:1}
.dg .band{fill:[band]}
.dg .best{fill:[band-best]}
.dg .hard{fill:none;stroke:[soft];stroke-width:1;stroke-dasharray:5 3}
.dg .edge{fill:none;stroke:[soft];stroke-width:0.75}
.dg .line{fill:none;stroke-width:2;stroke-linejoin:round;stroke-linecap:butt}
.dg .dew{stroke:[soft];stroke-width:1.8;stroke-dasharray:1.5 3}
.dg .lead{fill:none;stroke:[soft];stroke-width:0.75}
.dg .sea{fill:[sea]}
.dg .ring{fill:none;stroke:[soft];stroke-width:0.75}
.dg .cell{stroke:[page];stroke-width:1.2;stroke-linejoin:round}
.dg .none{fill:[page];stroke:[soft];stroke-width:0.75;stroke-dasharray:2 2}
.dg .hull{fill:none;stroke:[ink];stroke-width:1.4;stroke-linejoin:round}
.dg .sun{fill:[sun];stroke:[ink];stroke-width:1}
.dg .ray{fill:none;stroke:[sun];stroke-width:1.6}
.dg .down{fill:[page];stroke:[soft];stroke-width:1.2}
.dg .wind{fill:none;stroke:[ink];stroke-width:1.8;stroke-linejoin:round;stroke-linecap:round}
.dg .pick{fill:none;stroke:[ink];stroke-width:1.6}
.dg .l0{stroke:[l0]}.dg .l1{stroke:[l1];stroke-dasharray:9 3}.dg .l2{stroke:[l2];stroke-dasharray:4 2.5}
.dg .l3{stroke:[l3];stroke-dasharray:12 3 3 3}.dg .l4{stroke:[l4];stroke-dasharray:2 2}.dg .l5{stroke:[l5];stroke-dasharray:7 2 2 2 2 2}
.dg .w0{fill:[l0]}.dg .w1{fill:[l1]}.dg .w2{fill:[l2]}.dg .w3{fill:[l3]}.dg .w4{fill:[l4]}.dg .w5{fill:[l5]}
.dg .t0{fill:[t0]}.dg .t1{fill:[t1]}.dg .t2{fill:[t2]}.dg .t3{fill:[t3]}.dg .t4{fill:[t4]}.dg .t5{fill:[t5]}.dg .t6{fill:[t6]}.dg .t7{fill:[t7]}.dg .t8{fill:[t8]}
.dg .i0{fill:[t0-ink]}.dg .i1{fill:[t1-ink]}.dg .i2{fill:[t2-ink]}.dg .i3{fill:[t3-ink]}.dg .i4{fill:[t4-ink]}.dg .i5{fill:[t5-ink]}.dg .i6{fill:[t6-ink]}.dg .i7{fill:[t7-ink]}.dg .i8{fill:[t8-ink]}
`

// stylesheet is made once: it hangs on nothing.
var stylesheet = makeStylesheet()

// makeStylesheet gives each colour twice: as it is in bright light, for viewers
// that know no custom properties, and by its property, which the scheme sets. A
// page may force a scheme by data-theme, bright or night, on an element around.
func makeStylesheet() string {
	dark := scheme(func(t tint) string { return t.dark })
	bright := scheme(func(t tint) string { return t.bright })
	paper := scheme(func(t tint) string { return t.paper })
	var b strings.Builder
	b.WriteString(".dg{" + bright + "max-width:100%;height:auto}\n")
	b.WriteString("@media (prefers-color-scheme:dark){.dg{" + dark + "}}\n")
	b.WriteString("[data-theme=bright] .dg{" + bright + "}\n[data-theme=night] .dg{" + dark + "}\n")
	b.WriteString("@media print{.dg,[data-theme] .dg{" + paper + "}}\n")
	b.WriteString(withColours(rules))
	return b.String()
}

func scheme(of func(tint) string) string {
	var b strings.Builder
	for _, t := range palette {
		b.WriteString("--dg-" + t.name + ":" + of(t) + ";")
	}
	return b.String()
}

// withColours replaces each declaration that names a colour by two.
func withColours(rules string) string {
	byName := map[string]string{}
	for _, t := range palette {
		byName[t.name] = t.bright
	}
	var b strings.Builder
	for {
		open := strings.IndexByte(rules, '[')
		if open < 0 {
			b.WriteString(rules)
			return b.String()
		}
		end := open + strings.IndexByte(rules[open:], ']')
		name := rules[open+1 : end]
		start := strings.LastIndexAny(rules[:open], "{;") + 1
		property := rules[start:open]
		b.WriteString(rules[:start] + property + byName[name] + ";" + property + "var(--dg-" + name + ")")
		rules = rules[end+1:]
	}
}
