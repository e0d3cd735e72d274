package feed

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/products"
	"dewgap/window/crew"
)

// deferral ends every description. It is that of the cautions.
const deferral = "A reminder, not a clearance: local rules and licensed practice decide."

// title names a calendar.
func title(of answer.PlanOf) string {
	switch {
	case of.Boat == "":
		return of.Job
	case of.Job == "":
		return of.Boat
	}
	return of.Boat + ": " + of.Job
}

// about says where a calendar comes from.
func about(v answer.PlanVersion) string {
	text := "Planned " + v.At.In(v.Of.Now.Location()).Format("Mon 2 Jan 2006 15:04")
	if v.Of.Source.Name != "" {
		text += ", " + v.Of.Source.Name
	}
	text += "."
	if v.Plan != nil && v.Plan.Part != nil {
		text += "\nA part of the job, " + v.Plan.Part.What + "."
	}
	if v.Of.Source.Attribution != "" {
		text += "\n" + v.Of.Source.Attribution
	}
	return text + "\n" + deferral
}

// boatPrefix leads a summary, for calendars are laid over one another.
func boatPrefix(of answer.PlanOf) string {
	if of.Boat == "" {
		return ""
	}
	return of.Boat + ": "
}

// partOf tells coat and part, "" where there is but one.
func partOf(b *answer.PlanBlock) string {
	text := ""
	if b.Coats > 1 {
		text += fmt.Sprintf(", coat %d of %d", b.Coat, b.Coats)
	}
	if b.Parts > 1 {
		text += fmt.Sprintf(", part %d of %d", b.Part, b.Parts)
	}
	if b.Redo {
		text += ", to be redone"
	}
	return text
}

func people(list []int) string {
	words := make([]string, len(list))
	for i, n := range list {
		words[i] = strconv.Itoa(n)
	}
	if len(words) == 1 {
		return "person " + words[0]
	}
	return "people " + strings.Join(words, " and ")
}

// open is what a block waits for before it may be relied on, in words: a yes, or better
// hours where those that it had are lost since the plan was made; "" for nothing.
func open(v *answer.PlanVersion, b *answer.PlanBlock) string {
	switch {
	case !answer.Workable(b.State):
		return b.State + " now"
	case b.NeedsConsent && !v.Accepted:
		return "needs your yes"
	}
	return ""
}

// workText describes a block: who, with what, how, why, how sure, and what to mind.
func workText(v *answer.PlanVersion, b *answer.PlanBlock) string {
	out := whoWith(b)
	add := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if b.AreaM2 != nil {
		add("Area: %s m²", figure(*b.AreaM2))
	}
	if b.FloodRinse {
		add("First: flood rinse, for there is salt on it")
	}
	if b.Rewash {
		add("First: wash and dry it, for it lay bare overnight")
	}
	if s := section(b); s != "" {
		add("Section: %s", s)
	}
	if b.HazeMin != nil && b.SectionM2 == nil {
		add("%s", hazeText(b))
	}
	return strings.Join(append(out, sureAndMind(v, b)...), "\n")
}

// stintText describes a stint of several panels: who, with what, each panel with its hour,
// how sure the least sure of them is, and what to mind.
func stintText(v *answer.PlanVersion, r answer.Stint) string {
	one := r.One()
	one.Reason = "" // it is of the first alone
	out := append(whoWith(&one), "In this order:")
	for i := range r {
		text := r[i].From.Format("15:04") + " " + line(r[i].Zone)
		if r[i].AreaM2 != nil {
			text += fmt.Sprintf(", %s m²", figure(*r[i].AreaM2))
		}
		if r[i].AllAtOnce() { // which needs no word
			text += rewet(r[i].RewetMin)
		} else {
			text += ", " + section(&r[i])
		}
		out = append(out, text)
	}
	return strings.Join(append(out, sureAndMind(v, &one)...), "\n")
}

// whoWith says who works on a block, and with what.
func whoWith(b *answer.PlanBlock) []string {
	var out []string
	if len(b.People) > 0 {
		out = append(out, fmt.Sprintf("Who: %s, %s person-hours", people(b.People), figure(b.PersonHours)))
	}
	if b.Product != "" {
		out = append(out, "Product: "+b.Product)
	}
	return out
}

// section is how much is washed at a time; "" of other work.
func section(b *answer.PlanBlock) string {
	switch {
	case b.AllAtOnce():
		return "all of it at once" + rewet(b.RewetMin)
	case b.SectionM2 != nil:
		return fmt.Sprintf("at most %s m² at a time%s", figure(*b.SectionM2), rewet(b.RewetMin))
	}
	return ""
}

// sureAndMind says how sure a block is, why it lies there, and what to mind.
func sureAndMind(v *answer.PlanVersion, b *answer.PlanBlock) []string {
	state := b.State
	if o := open(v, b); o != "" && answer.Workable(b.State) {
		state += ", " + o
	}
	out := []string{fmt.Sprintf("State: %s, confidence %.0f %%", state, math.Floor(100*b.Confidence))}
	if b.Reason != "" {
		out = append(out, "Why then: "+b.Reason)
	}
	for _, l := range answer.OwnLimitsOf(v.Of.Own, func(id string) bool { return id == b.Product }) {
		out = append(out, "Note: "+l)
	}
	if minds := mind(v.Of.Cautions, b.From, b.To); minds != "" {
		out = append(out, "Mind: "+minds)
	}
	return append(out, deferral)
}

func rewet(minutes *float64) string {
	if minutes == nil {
		return ""
	}
	return fmt.Sprintf(", kept wet every %s min", figure(*minutes))
}

// hazeText is the clock of the last section, and when that must be wiped off.
func hazeText(b *answer.PlanBlock) string {
	text := fmt.Sprintf("Haze: wipe each section after %s to %s min", figure(b.HazeMin[0]), figure(b.HazeMin[1]))
	if b.HazeMin[0] == b.HazeMin[1] {
		text = fmt.Sprintf("Haze: wipe each section after %s min", figure(b.HazeMin[0]))
	}
	if !b.WorkTo.IsZero() && b.WorkTo.Before(b.To) {
		text += "; last section on " + b.WorkTo.Format("15:04")
	}
	if b.WipeBy != nil {
		text += "; wiped off by " + b.WipeBy.Format("15:04")
	}
	return text
}

// dryText describes the hours for which a film has to stay dry; hours is how many they
// are on the block's panel.
func dryText(c products.Class, hours float64) string {
	rain, dew := usual(c.RainFree), usual(c.DewFree)
	keeps := fmt.Sprintf("no rain on it for %s h and no dew for %s h", figure(rain), figure(dew))
	switch {
	case rain == dew:
		keeps = fmt.Sprintf("no rain and no dew on it for %s h", figure(rain))
	case rain == 0:
		keeps = fmt.Sprintf("no dew on it for %s h", figure(dew))
	case dew == 0:
		keeps = fmt.Sprintf("no rain on it for %s h", figure(rain))
	}
	out := []string{fmt.Sprintf("%s: %s after the last section.", c.Name, keeps)}
	if c.Equivalent {
		text := "Counted as at 20 °C, longer on a colder panel"
		if hours > max(rain, dew) {
			text += fmt.Sprintf(", here about %.0f h", math.Ceil(hours))
		}
		out = append(out, text+"; a cold night adds to it.")
	}
	if full := c.FullCureH; full.Given && full.Max > 0 {
		text := figure(full.Min) + " h"
		switch {
		case full.NoMax:
			text += " or more"
		case full.Max > full.Min:
			text = figure(full.Min) + " to " + figure(full.Max) + " h"
		}
		out = append(out, "Cured in full after "+text+" at 20 °C.")
	}
	return strings.Join(append(out, deferral), "\n")
}

// weather are the cautions that come and go with it; the others hold for the whole
// job and would stand in every entry.
var weather = map[string]string{
	crew.KindWBGT: "heat in the sun", crew.KindHeatIndex: "heat", crew.KindThunder: "thunder", crew.KindGust: "gusts",
	crew.KindWind: "wind", crew.KindCold: "cold", crew.KindIce: "ice", crew.KindUV: "UV",
}

// mind names the cautions of the weather that fall into a block, each once.
func mind(list []answer.Caution, from, to time.Time) string {
	var words []string
	for _, c := range list {
		word := weather[c.Kind]
		if word == "" || c.From == nil || c.To == nil || !c.From.Before(to) || !from.Before(*c.To) {
			continue
		}
		switch c.Level {
		case "":
		case crew.LevelUnknown:
			word += " (not judged)"
		default:
			word += " (" + c.Level + ")"
		}
		if !slices.Contains(words, word) {
			words = append(words, word)
		}
	}
	return strings.Join(words, ", ")
}

// figure writes a number without needless zeros.
func figure(v float64) string { return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64) }
