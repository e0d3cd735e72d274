package answer

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// betterBy is the share of the forecasts by which a plan has to hold oftener to be called
// surer: less is the luck of a few futures (common practice, no source).
const betterBy = 0.2

// Anew says what a plan made anew would be better in than one that stands, in which
// blocks are ahead; "" where it is better in nothing, or not found, or worse in anything: a
// change of plan has its price, so that nobody is talked into a trade.
func Anew(stands, anew *Plan, loc *time.Location) string {
	if stands == nil || anew == nil || stands.Ends == nil || anew.Ends == nil || anew.State == None || stands.State == Unknown {
		return ""
	}
	if stands.Part != nil && anew.Part == nil {
		return "planned anew it would be of the whole job, done " + anew.Ends.In(loc).Format("Mon 2 Jan")
	}
	day := func(p *Plan) time.Time { return Midnight(p.Ends.Add(-time.Nanosecond).In(loc)) }
	sooner, yeses, surer := day(stands).Compare(day(anew)), stands.Consents-anew.Consents, anew.Confidence-stands.Confidence
	broken := stands.State == NoGo
	if sooner < 0 || !broken && (yeses < 0 || surer <= -betterBy) {
		return ""
	}
	var words []string
	if sooner > 0 {
		words = append(words, fmt.Sprintf("be done %s and not %s", day(anew).Format("Mon 2 Jan"), day(stands).Format("Mon 2 Jan")))
	}
	if yeses > 0 && !broken {
		words = append(words, fmt.Sprintf("need your yes %s less often", plural(yeses, "time")))
	}
	if surer >= betterBy {
		words = append(words, fmt.Sprintf("hold in %.0f %% of the forecasts and not in %.0f %%", math.Floor(100*anew.Confidence), math.Floor(100*stands.Confidence)))
	}
	if len(words) == 0 {
		return ""
	}
	return "planned anew it would " + strings.Join(words, ", ")
}
