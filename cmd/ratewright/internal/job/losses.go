package job

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"ratewright/geo/vector"
	"ratewright/rx"
	"ratewright/rx/nitrogen/guard"
	"ratewright/rx/nitrogen/loss"
	"ratewright/rx/nitrogen/water"
	"ratewright/rx/plan"
	"ratewright/rx/soil"
	"ratewright/rx/weather"
)

// placed is where a placement in the words of the trade puts nitrogen.
func placed(words string) (loss.Placement, bool) {
	p, ok := guard.PlacementNamed(words)
	switch p {
	case guard.Broadcast:
		return loss.Broadcast, true
	case guard.SurfaceBand:
		return loss.Dribbled, true
	case guard.Incorporated:
		return loss.Incorporated, true
	case guard.Injected:
		return loss.Injected, true
	}
	return 0, ok && p != ""
}

// follows is a trip as its losses are followed.
func (j Job) follows(t TripSpec) (loss.Application, error) {
	src, err := j.source(ApplicationSpec{Source: t.Source, sourceLine: t.line})
	if err != nil {
		return loss.Application{}, err
	}
	place, _ := placed(t.Placement)
	on, err := time.Parse(time.DateOnly, t.Date)
	if err != nil {
		return loss.Application{}, err
	}
	a := loss.Application{Source: src, Placement: place, Date: on}
	if t.Depth != nil {
		a.Depth = *t.Depth
	}
	if a.Inhibitor, err = loss.InhibitorNamed(t.Inhibitor); err != nil {
		return a, err
	}
	if t.Incorporate != nil {
		day, err := time.Parse(time.DateOnly, t.Incorporate.Date)
		if err != nil {
			return a, err
		}
		a.Tillage = &loss.Tillage{Date: day, Depth: t.Incorporate.Depth}
	}
	if err := a.Check(); err != nil {
		return a, j.fault(t.line, fmt.Sprintf("application %s: %s", t.Name, err), "")
	}
	return a, nil
}

// grounds are what the losses must know of the zones: their water and their sites.
type grounds struct {
	soils []water.Soil
	sites []loss.Site
	notes []string
	// As the zones tell it, for guards: empty and nil where they do not.
	texture []string
	cover   []*float64
}

// What stands in where the zones do not tell.
const (
	usualPH    = 6.5
	usualGroup = "medium"
)

// groundsOf reads soil and residue of the zones. What a zone does not tell is told in
// notes, with what stands in.
func (j Job) groundsOf(zones []rx.Zone) (grounds, error) {
	g := grounds{soils: make([]water.Soil, len(zones)), sites: make([]loss.Site, len(zones)), texture: make([]string, len(zones)), cover: make([]*float64, len(zones))}
	lacks := map[string][]string{}
	lack := func(what, id string) { lacks[what] = append(lacks[what], id) }
	bad := func(z *rx.Zone, err error) error {
		what, fix, _ := strings.Cut(err.Error(), "; ")
		return zoneFault(z, what, fix)
	}
	bare := true // no cover above 1: per cent or a share?
	some := false
	var next []string // to nothing
	for i := range zones {
		z := &zones[i]
		words, ok, err := j.zoneText(z, "texture", soilTexture...)
		if err != nil {
			return g, err
		}
		if !ok {
			g.soils[i].Group = usualGroup
			lack("texture, so that medium stands in", z.ID)
		} else if g.texture[i] = textureGroup(words); g.texture[i] == "" {
			return g, zoneFault(z, fmt.Sprintf("texture %q is none", words), "write coarse, medium, fine, or a texture class such as silt loam")
		} else {
			g.soils[i].Group = g.texture[i]
		}
		drainage, ok, err := j.zoneText(z, "drainage", soil.ColumnDrainage)
		if err != nil {
			return g, err
		}
		if !ok {
			lack("drainage class, so that well drained stands in", z.ID)
			drainage = "well drained"
		}
		g.soils[i].Drainage = strings.ToLower(drainage)
		if g.soils[i].Hydrologic, _, err = j.zoneText(z, "hydrologic", soil.ColumnHydrologic); err != nil {
			return g, err
		}
		tiled, ok, err := j.zoneText(z, "tiled")
		if err != nil {
			return g, err
		}
		if ok {
			g.soils[i].Tiled = slices.Contains([]string{"yes", "true", "y", "1", "tiled"}, strings.ToLower(tiled))
		}
		if err := g.soils[i].Check(); err != nil {
			return g, bad(z, err)
		}
		ph, ok, err := j.zoneNumber(z, "ph", soil.ColumnPH)
		if err != nil {
			return g, err
		}
		if !ok {
			lack("pH, so that 6.5 stands in", z.ID)
			ph = usualPH
		}
		g.sites[i].PH = ph
		if err := g.sites[i].Check(); err != nil {
			return g, bad(z, err)
		}
		cover, ok, err := j.zoneNumber(z, "residue_cover")
		if err != nil {
			return g, err
		}
		if !ok {
			lack("residue cover, so that bare ground stands in", z.ID)
			continue
		}
		if cover < 0 || cover > 100 {
			return g, zoneFault(z, fmt.Sprintf("a residue cover of %g %% cannot be", cover), "write it in percent, from 0 to 100")
		}
		if cover > 0 && cover < 1 {
			next = append(next, fmt.Sprintf("%g %% on %s", cover, z.ID))
		}
		some = some || cover > 0
		bare = bare && cover <= 1
		g.sites[i].Cover = cover / 100
		g.cover[i] = &g.sites[i].Cover
	}
	if some && bare {
		return g, zoneFault(&zones[0], "no zone has a residue cover above 1", "residue cover counts percent: write 30 for 30 %, not 0.3")
	}
	if len(next) > 0 {
		g.notes = append(g.notes, fmt.Sprintf("losses: residue cover counts percent, and is next to none at %s: write 30 for 30 %%, not 0.3, where a share was meant", strings.Join(next, ", ")))
	}
	for _, what := range sortedKeys(lacks) {
		g.notes = append(g.notes, fmt.Sprintf("losses: the zones do not tell their %s: %s", what, strings.Join(lacks[what], ", ")))
	}
	return g, nil
}

func textureGroup(words string) string {
	words = strings.ToLower(strings.TrimSpace(words))
	if slices.Contains([]string{"coarse", "medium", "fine"}, words) {
		return words
	}
	return soil.Group(soil.Class(words))
}

func zoneFault(z *rx.Zone, what, fix string) error {
	return &vector.InputError{File: z.At.File, Place: "zone " + z.ID, What: what, Fix: fix}
}

// zoneText is what a zone says of a role: in the column that the job names, or in one
// of those that a soil survey gives. A column in which the parts of the zone differ is an
// error.
func (j Job) zoneText(z *rx.Zone, role string, usual ...string) (text string, ok bool, err error) {
	names := usual
	if j.Zones != nil && j.Zones.Columns[role] != "" {
		names = []string{j.Zones.Columns[role]}
	}
	for _, name := range names {
		v, ok := (vector.Feature{Attributes: z.Attributes}).Get(name)
		if !ok {
			continue
		}
		if err := z.Differs(name); err != nil {
			return "", false, err
		}
		if text := strings.TrimSpace(v.String()); !v.IsNull() && text != "" {
			return text, true, nil
		}
	}
	return "", false, nil
}

func (j Job) zoneNumber(z *rx.Zone, role string, usual ...string) (float64, bool, error) {
	text, ok, err := j.zoneText(z, role, usual...)
	if err != nil || !ok {
		return 0, false, err
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, false, zoneFault(z, fmt.Sprintf("%s %q is not a number", role, text), "write a number")
	}
	return v, true, nil
}

// runUp is how long before the first application the water in the soil is followed.
const runUp = 60

// station is the weather record of the job cut into the years of a season.
// moved is the same with the readings as they would be if they were taken in the morning;
// nil where the record says when they were.
func (o *opener) station(j Job, latitude float64, first, last time.Time) (s plan.Station, moved *plan.Station, err error) {
	series, err := j.Weather.read()
	if err != nil {
		return plan.Station{}, nil, err
	}
	for _, n := range series.Notes {
		o.note(j.Weather.File, n)
	}
	if s, err = o.years(j, series, latitude, first, last); err != nil || series.Observed.Morning+series.Observed.Unknown == 0 {
		return s, nil, err
	}
	other, err := series.Shifted(weather.ReadInTheMorning())
	if err != nil {
		return s, nil, &vector.InputError{File: j.Weather.File, What: err.Error(), Fix: "give a record of daily weather"}
	}
	quiet := &opener{}
	j.Weather = j.Weather.dayLess() // the last day lies on the day before
	if m, err := quiet.years(j, other, latitude, first, last); err == nil && len(m.Years) == len(s.Years) {
		moved = &m
	}
	return s, moved, nil
}

// years cuts a record into the years of a season.
func (o *opener) years(j Job, series weather.Series, latitude float64, first, last time.Time) (plan.Station, error) {
	from := first.AddDate(0, 0, -runUp)
	years, err := series.Scenarios(from, last, weather.DefaultRules(), j.Weather.actual(series))
	if err != nil {
		var input *vector.InputError
		if errors.As(err, &input) {
			return plan.Station{}, err
		}
		return plan.Station{}, &vector.InputError{File: j.Weather.File, What: err.Error(), Fix: "give a record of daily weather that covers the season in several years"}
	}
	for _, n := range years.Notes {
		o.note(j.Weather.File, n)
	}
	if n := j.Weather.before(from); n != "" {
		o.note(j.Weather.File, n)
	}
	name := series.Station
	if name == "" {
		name = series.Name
	}
	return plan.Station{Name: name, Latitude: latitude, Years: years.List}, nil
}
