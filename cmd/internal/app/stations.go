package app

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"time"

	"dewgap/cmd/internal/answer"
	"dewgap/forecast"
	"dewgap/forecast/air"
	"dewgap/forecast/ensemble"
	"dewgap/forecast/fetch"
	"dewgap/forecast/nws"
	"dewgap/forecast/source"
)

// How stations are asked. Common practice, no source.
const (
	// stationsEvery is the least time between two looks, whatever came of them.
	stationsEvery = time.Hour
	// stationsBack is how far back a look goes: the service keeps about a week.
	stationsBack = 7 * 24 * time.Hour
	// stationsPatience is the longest that an answer waits for one reply of theirs.
	stationsPatience = 5 * time.Second
	// stationsTried is how many are tried in one look, until one has something.
	stationsTried = 2
)

// LiveStations asks the stations of the US National Weather Service, where it covers
// the place and is the source in use, or may be. They are looked at once an hour at
// most; what came of it is kept among the saved replies, and a look that failed
// counts too. Where nothing can be kept nobody is asked.
type LiveStations struct{ Live }

var _ Stations = LiveStations{}

// stationsLook is the outcome of the last look, as it is kept: what was measured where
// the station stands, and not yet what it says of the place.
type stationsLook struct {
	Failed   string              `json:"failed,omitempty"`
	Station  nws.Station         `json:"station"`
	Observed []ensemble.Observed `json:"observed"`
	Refused  []nws.Station       `json:"refused,omitempty"` // nearer ones that stand too high or too low
}

// Observed gives the nearest station's observations of [since, until], as far as they
// are of the last week: of the nearest two within ensemble.FarthestStationKM one that
// measured anything. Those that stand more than ensemble.HighestStationM above or below
// the place are named and not asked. After a look that failed it gives those of the
// last that did not, and without any the error; that the service does not cover the
// place is none.
func (s LiveStations) Observed(ctx context.Context, p forecast.Place, since, until time.Time) (Observations, error) {
	ask := s.Settings.FetchConfig(s.Version, s.Wall)
	if s.Adjust != nil {
		s.Adjust(&ask)
	}
	var out Observations
	if ask.Cache == nil || !s.mayAsk(p) {
		return out, nil
	}
	k := keptLook{ask.Cache, s.key(p), s.Wall()}
	look, fresh := k.last()
	if !fresh {
		var err error
		if look, err = s.lookAnew(ctx, ask, p, k, look); err != nil {
			return out, err
		}
	}
	out = look.at(p, since, until)
	if len(out.List) == 0 && look.Failed != "" {
		return out, errors.New(look.Failed)
	}
	return out, nil
}

// at is what the look says of a place in [since, until].
func (l stationsLook) at(p forecast.Place, since, until time.Time) Observations {
	var out Observations
	for _, r := range l.Refused {
		named, _ := nearStation(r, p)
		out.Stations = append(out.Stations, named)
	}
	if len(l.Observed) == 0 {
		return out
	}
	named, rise := nearStation(l.Station, p)
	for _, o := range l.Observed {
		if named.Most > 0 && !o.At.Before(since) && !o.At.After(until) {
			o.AirC, o.Share = ensemble.AtHeight(o.AirC, rise), ensemble.StationShare(named.DistanceKM)
			out.List = append(out.List, o)
		}
	}
	named.Observations = len(out.List)
	out.Stations = append(out.Stations, named)
	return out
}

// nearStation tells of a station near a place, and how many metres the station stands
// above it, 0 where that is not known.
func nearStation(s nws.Station, p forecast.Place) (answer.LearnedStation, float64) {
	out := answer.LearnedStation{ID: s.ID, Name: s.Name, DistanceKM: s.Place.DistanceKM(p)}
	if s.Place.HasElevation {
		out.HeightM = &s.Place.ElevationM
	}
	rise := riseOf(s, p)
	if s.Place.HasElevation && p.HasElevation {
		out.RiseM = &rise
	}
	if math.Abs(rise) <= ensemble.HighestStationM {
		out.One, out.Most = ensemble.StationCounts(out.DistanceKM)
	}
	return out, rise
}

// riseOf is how many metres a station stands above a place, 0 where not known.
func riseOf(s nws.Station, p forecast.Place) float64 {
	if !s.Place.HasElevation || !p.HasElevation {
		return 0
	}
	return s.Place.ElevationM - p.ElevationM
}

// mayAsk reports whether the source in use is the service, or would be tried.
func (s LiveStations) mayAsk(p forecast.Place) bool {
	cfg := s.sources(nil)
	why, _ := cfg.Unasked(source.NWS, p)
	return why == "" && (cfg.Name == "" || cfg.Name == source.Auto || cfg.Name == source.NWS)
}

// sources are those of the settings, with the name that outranks theirs.
func (s LiveStations) sources(c *fetch.Client) source.Config {
	cfg := s.Settings.SourceConfig(c)
	if s.Name != "" {
		cfg.Name = s.Name
	}
	return cfg
}

func (s LiveStations) key(p forecast.Place) string {
	return fmt.Sprintf("NWS stations, each by name, near %s,%s by %s", fetch.Coordinate(p.Latitude), fetch.Coordinate(p.Longitude), s.Settings.NWS.URL)
}

// lookAnew asks, and keeps what came of it. That one looked is kept beforehand:
// whoever runs at the same time, or after this was broken off, does not ask again.
func (s LiveStations) lookAnew(ctx context.Context, ask fetch.Config, p forecast.Place, k keptLook, last stationsLook) (stationsLook, error) {
	look := last
	look.Failed = "the last look did not come to its end"
	if err := k.put(look); err != nil {
		return look, err
	}
	seen, err := s.look(ctx, ask, p, k.now)
	if ctx.Err() != nil {
		return look, ctx.Err()
	}
	look.Failed = ""
	switch {
	case err == nil:
		look = seen
	case !errors.Is(err, nws.ErrNotCovered):
		look.Failed = err.Error()
	}
	return look, k.put(look)
}

// look asks for the stations, a list that is kept for a week, and then one after the
// other what it measured. The raw observations are not kept: no question comes twice.
func (s LiveStations) look(ctx context.Context, ask fetch.Config, p forecast.Place, now time.Time) (stationsLook, error) {
	var none stationsLook
	if ask.Timeout <= 0 || ask.Timeout > stationsPatience {
		ask.Timeout = stationsPatience
	}
	line := newProgress(s.Passing, afterwards)
	defer line.done()
	ask.Asking = line.asks
	keeping, err := fetch.New(ask)
	if err != nil {
		return none, err
	}
	ask.Cache = nil
	passing, err := fetch.New(ask)
	if err != nil {
		return none, err
	}
	cfg := s.sources(keeping).NWS
	stations, _, err := nws.Stations(ctx, keeping, cfg, p)
	if err != nil {
		return none, err
	}
	var out stationsLook
	tried := 0
	for _, station := range stations {
		if tried == stationsTried || station.Place.DistanceKM(p) > ensemble.FarthestStationKM {
			break
		}
		if math.Abs(riseOf(station, p)) > ensemble.HighestStationM {
			out.Refused = append(out.Refused, station)
			continue
		}
		tried++
		var list []forecast.Observation
		if list, _, err = nws.ObserveSpan(ctx, passing, cfg, station, now.Add(-stationsBack), now); err != nil {
			if e, ok := errors.AsType[*fetch.Error](err); ok && e.Kind == fetch.NotFound {
				continue
			}
			return none, err
		}
		if out.Observed = teaching(list); len(out.Observed) > 0 {
			out.Station = station
			return out, nil
		}
	}
	return out, err
}

// teaching are observations as learning takes them, without those that say nothing.
func teaching(list []forecast.Observation) []ensemble.Observed {
	var out []ensemble.Observed
	for _, o := range list {
		x := ensemble.Observed{
			At: o.At, Station: true, AirC: o.Air.V, HasAir: o.Air.Known, WindMS: o.Wind.V, HasWind: o.Wind.Known,
			DewPointC: o.DewPoint.V, HasDewPoint: o.DewPoint.Known,
		}
		if !x.HasDewPoint && o.Air.Known && o.Humidity.Known && o.Humidity.V > 0 {
			x.DewPointC, x.HasDewPoint = air.DewPoint(o.Air.V, o.Humidity.V), true
		}
		if x.HasAir || x.HasDewPoint || x.HasWind {
			out = append(out, x)
		}
	}
	return out
}

// keptLook is where the last look is kept.
type keptLook struct {
	cache fetch.Cache
	key   string
	now   time.Time
}

// last is the look that is kept, the zero look where it cannot be read; fresh: it is
// too early for another.
func (k keptLook) last() (look stationsLook, fresh bool) {
	e, ok, err := k.cache.Get(k.key)
	if err != nil || !ok || json.Unmarshal(e.Body, &look) != nil {
		return stationsLook{}, false
	}
	return look, !k.now.Before(e.Fetched) && k.now.Before(e.Expires)
}

func (k keptLook) put(look stationsLook) error {
	body, err := json.Marshal(look)
	if err != nil {
		return fmt.Errorf("keeping what the stations measured: %w", err)
	}
	return k.cache.Put(k.key, fetch.Entry{Body: body, Fetched: k.now, Expires: k.now.Add(stationsEvery)})
}
