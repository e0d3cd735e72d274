package nws

import (
	"dewgap/forecast"
	"dewgap/forecast/internal/reply"
)

// Point is what the service's index says of a place: where its data are.
type Point struct {
	Place        forecast.Place // the point asked about, without elevation
	GridID       string         // forecast office of the grid
	GridX, GridY int            // cell of that office's grid
	Timezone     string         // IANA name
}

// ParsePoint reads a points reply. The error is a [*forecast.ReadError]: the
// reply is damaged, an error body, or names no raw grid.
func ParsePoint(data []byte) (Point, error) {
	raw, bad := reply.Check(service, data)
	if bad != nil {
		return Point{}, bad
	}
	top, _, err := open(raw)
	if err != nil {
		return Point{}, err
	}
	var in struct {
		GridID           string `json:"gridId"`
		GridX            int    `json:"gridX"`
		GridY            int    `json:"gridY"`
		ForecastGridData string `json:"forecastGridData"`
		TimeZone         string `json:"timeZone"`
	}
	if err := unmarshal(top.Get("properties"), &in, "properties"); err != nil {
		return Point{}, err
	}
	if in.ForecastGridData == "" {
		return Point{}, errorf("ask /points for a place in the United States or their territories",
			"it names no raw grid for the place")
	}
	p := Point{GridID: in.GridID, GridX: in.GridX, GridY: in.GridY, Timezone: in.TimeZone}
	return p, p.readPlace(top.Get("geometry"))
}

// readPlace reads the point's own place where it is given.
func (p *Point) readPlace(raw []byte) error {
	if raw == nil {
		return nil
	}
	fields, _ := reply.SplitObject(raw)
	if kind, _ := reply.Text(fields.Get("type")); kind != "Point" {
		return nil
	}
	var c []float64
	if err := unmarshal(fields.Get("coordinates"), &c, "geometry"); err != nil {
		return err
	}
	if len(c) < 2 {
		return errorf(reply.Again, "its geometry names no longitude and latitude")
	}
	p.Place = forecast.Place{Longitude: c[0], Latitude: c[1]}
	if wrong := reply.CheckPlace(p.Place); wrong != "" {
		return errorf(reply.Again, "%s", wrong)
	}
	return nil
}
