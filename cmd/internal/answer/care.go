package answer

import (
	"slices"
	"time"

	"dewgap/window"
)

// Care is a film that is still to be spared after it is on: not touched or walked on, not
// washed with soap. It stands beside [KeepDry], which is of rain and dew.
type Care struct {
	Step    string     `json:"step"`
	Zone    string     `json:"zone"`
	Product string     `json:"product"`
	On      time.Time  `json:"on"`      // when it was put on; planned: will be
	Planned bool       `json:"planned"` // a block of the plan; else it is on
	TouchAt *time.Time `json:"touch_at,omitempty"`
	Soft    bool       `json:"soft,omitempty"`    // not to be touched within the forecast; touch_at is then absent
	SoapAt  *time.Time `json:"soap_at,omitempty"` // from when it stands soap, likewise absent where nothing is said
}

// care lists the films that are to be spared: those that are on, and those that a plan puts
// on, whose last block counts; of several on a zone the last.
func (b *builder) care(p *Plan) []Care {
	var out []Care
	for i := range b.Result.Rows {
		r := &b.Result.Rows[i]
		x := Care{Step: b.Job.Steps[r.Step].Name, Product: r.Class.ID}
		x.Zone, _ = b.Part(r.Zone)
		var films [2]time.Time // on, and planned: on a part of the zone, or the coat below, one is on already
		if d := b.doneOf(r.Zone, r.Step); d.Share > 0 && !d.Spoiled && !d.At.After(b.Now) {
			films[0] = d.At
		}
		for _, y := range p.Ahead(b.Now) {
			if y.Step == x.Step && y.Zone == x.Zone && y.To.After(films[1]) {
				films[1] = y.To
			}
		}
		for k, on := range films {
			x.Planned = k > 0
			if on.IsZero() || slices.ContainsFunc(out, func(o Care) bool { return o.Step == x.Step && o.Zone == x.Zone && o.Planned == x.Planned }) {
				continue
			}
			of := window.CareOf(b.Result, &r.Class, r.Zone, on)
			x.On, x.Soft, x.TouchAt, x.SoapAt = b.moment(on), of.Soft, b.still(of.Touch), b.still(of.Soap)
			if x.Soft || x.TouchAt != nil || x.SoapAt != nil {
				out = append(out, x)
			}
		}
	}
	return slices.DeleteFunc(out, func(x Care) bool { // what comes over it has its own hours
		return slices.ContainsFunc(out, func(o Care) bool { return o.Zone == x.Zone && o.Planned == x.Planned && o.On.After(x.On) })
	})
}

// still is a moment that lies ahead; nil for one that is over, or none.
func (b *builder) still(t time.Time) *time.Time {
	if !t.After(b.Now) {
		return nil
	}
	t = b.moment(t)
	return &t
}

// CareLines say in words what is to be spared of the films that are on, or, planned, of
// those that the plan puts on: a step's zones together, until the last of them may be
// touched, and for soap by the day.
func CareLines(list []Care, planned bool, now time.Time) []string {
	var out []string
	for i, x := range list {
		if slices.ContainsFunc(list[:i], func(o Care) bool { return o.Step == x.Step }) {
			continue
		}
		of := slices.DeleteFunc(slices.Clone(list), func(o Care) bool { return o.Step != x.Step || o.Planned != planned })
		soft, _ := lastOf(of, func(o *Care) *time.Time {
			if o.Soft {
				return &o.On
			}
			return nil
		})
		touch, at := lastOf(of, func(o *Care) *time.Time { return o.TouchAt })
		soap, from := lastOf(of, func(o *Care) *time.Time { return o.SoapAt })
		what := func(zones []string) string {
			if planned { // they are finished one after the other
				return "the " + x.Step
			}
			return "the " + x.Step + " on " + Listed(zones)
		}
		switch {
		case len(touch) == 0, planned && len(soft) > 0: // all of it is hard later still
		case planned:
			out = append(out, "All of "+what(touch)+" may be touched and walked on from "+careTime(at, now)+".")
		default:
			out = append(out, "Nobody touches or walks on "+what(touch)+" before "+careTime(at, now)+".")
		}
		if len(soft) > 0 {
			out = append(out, "Nobody touches or walks on "+what(soft)+" until it is hard, later than the forecast reaches.")
		}
		if len(soap) > 0 { // a day begun counts: makers say days
			out = append(out, "No soap on "+what(soap)+" before "+from.Add(24*time.Hour-time.Minute).Format("Mon 2 Jan")+": clean water alone.")
		}
	}
	return out
}

// lastOf are the zones of those that have a moment, and the last of the moments.
func lastOf(list []Care, moment func(*Care) *time.Time) (zones []string, last time.Time) {
	for i := range list {
		t := moment(&list[i])
		if t == nil {
			continue
		}
		if zones = append(zones, list[i].Zone); t.After(last) {
			last = *t
		}
	}
	return zones, last
}

// careTime is a moment, with its day unless that is today, up to the next ten minutes.
func careTime(t, now time.Time) string {
	t = t.Add(10*time.Minute - time.Nanosecond).Truncate(10 * time.Minute)
	if sameDate(t, now) {
		return t.Format("15:04")
	}
	return t.Format(stamp)
}
