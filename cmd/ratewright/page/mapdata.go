package page

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strconv"

	"github.com/paulmach/orb"

	"ratewright/geo/parallel"
)

// mapData is what the script draws besides strides. Keys are a contract with web/.
type mapData struct {
	Kind      string             `json:"kind"`
	RateTitle string             `json:"rateTitle"`
	RateUnit  string             `json:"rateUnit"`
	DepthUnit string             `json:"depthUnit"`
	Shallow   float64            `json:"shallow"`
	LowRate   float64            `json:"lowRate"`
	HighRate  float64            `json:"highRate"`
	Lon0      float64            `json:"lon0"`
	Lat0      float64            `json:"lat0"`
	Boundary  packedShape        `json:"boundary"`
	OffLimits []packedPlace      `json:"offLimits"`
	Zones     []packedZone       `json:"zones"`
	Patches   []packedPatch      `json:"patches"`
	Tracks    []string           `json:"tracks"`
	Ramp      packedRamp         `json:"ramp"`
	Choices   []packedChoice     `json:"choices"`
	Kinds     map[string]finding `json:"kinds"`
}

type packedPlace struct {
	Name     string      `json:"name"`
	Polygons packedShape `json:"polygons"`
}

type packedZone struct {
	ID       string      `json:"id"`
	Polygons packedShape `json:"polygons"`
	Rate     *float64    `json:"rate"`
	Label    string      `json:"label"`
	Why      []string    `json:"why"`
	Choice   string      `json:"choice"`
	Story    [][2]string `json:"story"`
}

type packedChoice struct {
	Letter  string `json:"letter"`
	Name    string `json:"name"`
	Light   string `json:"light"`
	Dark    string `json:"dark"`
	Pattern string `json:"pattern"`
}

type packedPatch struct {
	Kind     string      `json:"kind"`
	Mark     string      `json:"mark"`
	Title    string      `json:"title"`
	Zone     string      `json:"zone"`
	Polygons packedShape `json:"polygons"`
	AreaM2   float64     `json:"areaM2"`
	Area     string      `json:"area"`
	NKg      float64     `json:"nKg"`
	N        string      `json:"n"`
	ShortKg  float64     `json:"shortKg"`
	Short    string      `json:"short"`
}

type packedRamp struct {
	Light []string `json:"light"`
	Dark  []string `json:"dark"`
}

// packMap writes the map as JSON that can stand inside a script element: encoding/json
// escapes <, >, &, U+2028 and U+2029. Numbers that are not finite are refused, but for
// the rate of a zone without one, which is null.
func packMap(s Sheet) ([]byte, error) {
	m := s.Map
	d := mapData{
		Kind: short(string(s.Kind)), RateTitle: rateTitle(m), Choices: []packedChoice{}, RateUnit: short(m.RateUnit), DepthUnit: short(m.DepthUnit),
		Shallow: m.Shallow, LowRate: m.LowRate, HighRate: m.HighRate, Lon0: m.Lon0, Lat0: m.Lat0,
		Boundary:  packedShape(m.Boundary),
		OffLimits: []packedPlace{}, Zones: []packedZone{}, Patches: []packedPatch{}, Tracks: []string{},
		Ramp:  packedRamp{ramp[light][:], ramp[dark][:]},
		Kinds: map[string]finding{},
	}
	for _, p := range m.OffLimits {
		d.OffLimits = append(d.OffLimits, packedPlace{short(p.Name), packedShape(p.Polygons)})
	}
	for _, z := range m.Zones {
		zone := packedZone{ID: short(z.ID), Polygons: packedShape(z.Polygons), Label: short(z.Label), Why: []string{}, Choice: short(z.Choice), Story: [][2]string{}}
		if !math.IsNaN(z.Rate) {
			zone.Rate = &z.Rate
		}
		for _, why := range z.Why {
			zone.Why = append(zone.Why, long(why))
		}
		for _, l := range z.Story {
			zone.Story = append(zone.Story, [2]string{short(l.Name), long(l.Words)})
		}
		d.Zones = append(d.Zones, zone)
	}
	marks := marksOf(m)
	for i, p := range m.Patches {
		d.Patches = append(d.Patches, packedPatch{
			short(p.Kind), marks[i], short(p.Title), short(p.Zone), packedShape(p.Polygons),
			p.AreaM2, short(p.Area), p.NKg, short(p.N), p.ShortKg, short(p.Short),
		})
	}
	if m.Tracks != nil {
		for _, machine := range m.Tracks.machines {
			d.Tracks = append(d.Tracks, short(machine))
		}
	}
	for i, c := range m.Choices {
		ink := choiceInks[i%len(choiceInks)]
		d.Choices = append(d.Choices, packedChoice{short(c.Letter), short(c.Name), ink.Light, ink.Dark, ink.Pattern})
	}
	for _, f := range findings {
		d.Kinds[f.Kind] = f
	}
	for _, p := range m.Patches {
		if _, known := d.Kinds[short(p.Kind)]; !known {
			f := other
			f.Title = short(p.Title)
			d.Kinds[short(p.Kind)] = f
		}
	}
	b, err := json.Marshal(d)
	if err != nil {
		return nil, fmt.Errorf("page: map data: %w", err)
	}
	return b, nil
}

// rateTitle is what the rates of zones are.
func rateTitle(m Map) string {
	if m.RateTitle == "" {
		return "Prescribed"
	}
	return short(m.RateTitle)
}

// patchThinM is how far the outline of a patch may be off on the page and in the
// picture. Outlines of findings have a vertex for each record beside them, and of ten
// hardly one is seen. Ground that touches other ground keeps all of them.
const patchThinM = 0.02

// lean is the sheet as it is drawn: with leaner patches, parted at hairlines.
func (s Sheet) lean() Sheet {
	s.Map.Patches = slices.Clone(s.Map.Patches)
	parallel.Each(len(s.Map.Patches), 0, func(i int) {
		p := &s.Map.Patches[i]
		p.Polygons = leaner(withoutHairlines(p.Polygons))
	})
	return s
}

// leaner leaves vertices out that nobody would see.
func leaner(mp orb.MultiPolygon) orb.MultiPolygon {
	out := make(orb.MultiPolygon, len(mp))
	for i, polygon := range mp {
		for _, ring := range polygon {
			if n := len(ring); n > 1 && ring[0] == ring[n-1] {
				ring = ring[:n-1]
			}
			out[i] = append(out[i], orb.Ring(thinned(line(ring), patchThinM)))
		}
	}
	return out
}

// packedShape is written as rings of whole centimetres: the first vertex, then the
// step to each next one; the closing vertex is left out.
type packedShape orb.MultiPolygon

// MarshalJSON implements [json.Marshaler].
func (s packedShape) MarshalJSON() ([]byte, error) {
	b := []byte{'['}
	for i, polygon := range s {
		if i > 0 {
			b = append(b, ',')
		}
		b = append(b, '[')
		wrote := false
		for j, ring := range polygon {
			xy, err := ringSteps(ring)
			if err != nil {
				return nil, err
			}
			if len(xy) < 6 && j > 0 {
				continue // a hole of no more than a line; a shell stays, for its place
			}
			if wrote {
				b = append(b, ',')
			}
			wrote = true
			b = append(b, '[')
			for k, v := range xy {
				if k > 0 {
					b = append(b, ',')
				}
				b = strconv.AppendInt(b, v, 10)
			}
			b = append(b, ']')
		}
		b = append(b, ']')
	}
	return append(b, ']'), nil
}

func ringSteps(ring orb.Ring) ([]int64, error) {
	var xy []int64
	var x0, y0 int64
	n := len(ring)
	if n > 1 && ring[0] == ring[n-1] {
		n--
	}
	for i, v := range ring[:n] {
		x, ok := scaled(v[0], 100, maxCM)
		y, ok2 := scaled(v[1], 100, maxCM)
		if !ok || !ok2 {
			return nil, fmt.Errorf("vertex %d of an outline is not finite", i)
		}
		if i > 0 && x == x0 && y == y0 {
			continue
		}
		xy = append(xy, x-x0, y-y0)
		x0, y0 = x, y
	}
	return xy, nil
}
