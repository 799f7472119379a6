package job

import (
	"cmp"
	"fmt"
	"math"
	"strconv"

	"github.com/paulmach/orb"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx"
	"ratewright/rx/cluster"
	"ratewright/rx/surface"
)

// ClusterSpec makes zones of places that are alike in several layers of samples.
type ClusterSpec struct {
	Layers []SampleSpec
	Cell   unit.Length
	Zones  int // 0: by the criterion
	Seed   uint64
	line   int
}

// zonesFile names where the zones come from.
func (j Job) zonesFile() string { return cmp.Or(j.Zones.File, j.Path) }

// mostCells keeps a slip of the cell's side from taking all memory.
const mostCells = 100_000

// clustered makes the zones of the field, called 1, 2 and so on in the order of the mean
// of the first layer, with the mean of each layer as a column.
func (o *opener) clustered(c *ClusterSpec, f rx.Field, path string) ([]rx.Zone, error) {
	cells, err := o.cells(c, f, path)
	if err != nil {
		return nil, err
	}
	options := cluster.DefaultOptions()
	options.Zones, options.Seed = c.Zones, c.Seed
	r, err := cluster.Make(cells, options)
	if err != nil {
		return nil, &vector.InputError{File: path, Place: fmt.Sprintf("line %d", c.line), What: "zones: cluster: " + err.Error()}
	}
	o.notes = append(o.notes, r.Notes...)
	if c.Zones == 0 {
		o.notes = append(o.notes, fmt.Sprintf("%d zones were made of %d layers: of 2 to %d that many have the largest index of Calinski and Harabasz, %.0f", r.Grouped, len(c.Layers), options.Most, r.Index[r.Grouped]))
	}
	corner := f.Ground.Bound().Min
	var zones []rx.Zone
	for i, mp := range r.Outlines(corner, c.Cell.Metres()) {
		region, err := geo.RegionFromPolygons(f.Plane, mp)
		if err != nil {
			return nil, err
		}
		if region, err = region.Intersect(f.Ground); err != nil {
			return nil, err
		}
		z := rx.Zone{ID: strconv.Itoa(i + 1), Region: region, At: vector.Position{File: path}}
		for k, l := range c.Layers {
			z.Attributes = append(z.Attributes, vector.Attribute{Name: l.Name, Value: vector.NewNumber(layerMean(r, i, k))})
		}
		zones = append(zones, z)
	}
	return zones, nil
}

func layerMean(r cluster.Result, zone, layer int) float64 {
	sum, n := 0.0, 0.0
	for i, l := range r.Labels {
		if l == zone {
			sum += r.Cells[i].Values[layer]
			n++
		}
	}
	return sum / n
}

// cells are squares that cover the field, with the value of each layer's surface at
// their middle.
func (o *opener) cells(c *ClusterSpec, f rx.Field, path string) ([]cluster.Cell, error) {
	side, b := c.Cell.Metres(), f.Ground.Bound()
	cols, rows := int(math.Ceil((b.Right()-b.Left())/side)), int(math.Ceil((b.Top()-b.Bottom())/side))
	if cols*rows > mostCells {
		return nil, &vector.InputError{File: path, Place: fmt.Sprintf("line %d", c.line), What: fmt.Sprintf("zones: cluster: cells of %.1f m make %d of them", side, cols*rows), Fix: "take larger cells, such as 10 m"}
	}
	var surfaces []surface.Surface
	for _, l := range c.Layers {
		s, err := o.surface(l, f)
		if err != nil {
			return nil, err
		}
		surfaces = append(surfaces, s)
	}
	var cells []cluster.Cell
	reach := unit.Metres(side * math.Sqrt2 / 2)
	for row := range rows {
		for col := range cols {
			p := orb.Point{b.Left() + (float64(col)+0.5)*side, b.Bottom() + (float64(row)+0.5)*side}
			if !f.Ground.Contains(p) && f.Ground.DistanceTo(p) > reach {
				continue
			}
			cell := cluster.Cell{Col: col, Row: row}
			for i := range surfaces {
				v, _ := surfaces[i].At(p)
				cell.Values = append(cell.Values, v)
			}
			cells = append(cells, cell)
		}
	}
	for i := range surfaces {
		o.limited(c.Layers[i], surfaces[i])
	}
	return cells, nil
}
