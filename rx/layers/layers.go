// Package layers lays several divisions of one field over one another, such as soil,
// residue and yield zones, and makes zones of the combinations.
package layers

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx"
	"ratewright/rx/internal/boxes"
)

// None is the label of ground that a layer does not cover.
const None = "none"

// between stands between the labels of a combination.
const between = " x "

// Intersect makes a zone of every combination of the zones of layers, which are those of
// one field and do not overlap within a layer. A zone is called by its labels, "HT x
// L138B", and has the attributes of all; where two layers have a column of one name the
// first one's is kept, with a note. Ground that a layer does not cover has the label
// none in it.
//
// Connected parts below least join the part beside them that differs in the fewest labels
// and, of those, has the longest common border (to 1e-6 m, and of equals is the smallest), the
// smallest part first; a part with no neighbour stays. Notes give areas in
// units. The areas of the zones add up to the ground's.
func Intersect(ground geo.Region, layers [][]rx.Zone, least unit.Area, units unit.System) ([]rx.Zone, []string, error) {
	if len(layers) == 0 {
		return nil, nil, fmt.Errorf("there is no layer to make zones of")
	}
	parts := []part{{region: ground}}
	var notes []string
	for n, zones := range layers {
		zones, note, err := whole(ground, zones, units)
		if err != nil {
			return nil, nil, err
		}
		if note != "" {
			notes = append(notes, fmt.Sprintf("layer %d: %s", n+1, note))
		}
		if parts, err = cut(parts, sayWhatIsLacking(zones)); err != nil {
			return nil, nil, err
		}
	}
	parts, merged, err := mergeSmall(connected(parts), least)
	if err != nil {
		return nil, nil, err
	}
	if merged.count > 0 {
		parts := "parts"
		if merged.count == 1 {
			parts = "part"
		}
		notes = append(notes, fmt.Sprintf("%d %s below %s, %s in all, joined the part beside them that is most like them", merged.count, parts, rx.AreaText(units, least), rx.AreaText(units, merged.area)))
	}
	zones, clash, err := gather(parts)
	if err != nil {
		return nil, nil, err
	}
	for _, name := range clash {
		notes = append(notes, fmt.Sprintf("column %s is in more than one layer; the first one's was kept", name))
	}
	return zones, notes, checkArea(ground, zones)
}

// part is ground with one label of each layer.
type part struct {
	region geo.Region
	of     []rx.Zone // one of each layer
}

func (p part) labels() []string {
	labels := make([]string, len(p.of))
	for i, z := range p.of {
		labels[i] = z.ID
	}
	return labels
}

// whole adds the ground that no zone of a layer covers as one more zone.
func whole(ground geo.Region, zones []rx.Zone, units unit.System) ([]rx.Zone, string, error) {
	rest, err := ground.SubtractAll(regionsOf(zones))
	if err != nil {
		return nil, "", err
	}
	const sliver = 1e-9 // share of the ground that is rounding
	if rest.IsEmpty() || rest.Area() <= sliver*ground.Area() {
		return zones, "", nil
	}
	note := fmt.Sprintf("%s (%.2f %% of the field) are not covered and labelled %s", rx.AreaText(units, rest.Area()), 100*float64(rest.Area()/ground.Area()), None)
	return append(slices.Clone(zones), rx.Zone{ID: None, Region: rest}), note, nil
}

// sayWhatIsLacking has the zones of a layer know which of its columns each has not.
func sayWhatIsLacking(zones []rx.Zone) []rx.Zone {
	var columns []string
	known := map[string]bool{}
	file := ""
	for _, z := range zones {
		file = cmp.Or(file, z.At.File)
		for _, a := range z.Attributes {
			if key := strings.ToLower(a.Name); !known[key] {
				known[key] = true
				columns = append(columns, a.Name)
			}
		}
	}
	out := make([]rx.Zone, len(zones))
	for i, z := range zones {
		out[i] = z.Lacking(columns, file)
	}
	return out
}

func regionsOf(zones []rx.Zone) []geo.Region {
	regions := make([]geo.Region, len(zones))
	for i, z := range zones {
		regions[i] = z.Region
	}
	return regions
}

// cut parts ground by the zones of a further layer.
func cut(parts []part, zones []rx.Zone) ([]part, error) {
	var out []part
	near := boxes.Of(regionsOf(zones))
	for _, p := range parts {
		for _, i := range near.Near(p.region.Bound()) {
			z := zones[i]
			common, err := p.region.Intersect(z.Region)
			if err != nil {
				return nil, err
			}
			if !common.IsEmpty() {
				out = append(out, part{common, append(slices.Clone(p.of), z)})
			}
		}
	}
	return out, nil
}

// connected takes parts apart into those that hang together.
func connected(parts []part) []part {
	var out []part
	for _, p := range parts {
		for _, r := range p.region.Parts() {
			out = append(out, part{r, p.of})
		}
	}
	return out
}

// gather makes a zone of the parts with the same labels.
func gather(parts []part) (zones []rx.Zone, clash []string, err error) {
	at := map[string]int{}
	labels := [][]string{}
	regions := [][]geo.Region{}
	for _, p := range parts {
		id := strings.Join(p.labels(), between)
		i, seen := at[id]
		switch {
		case len(id) > vector.MaxText:
			return nil, nil, fmt.Errorf("the labels of a combination of layers, %s, have %d bytes together, more than the %d that a map can hold; shorten them", vector.Short(id), len(id), vector.MaxText)
		case !seen:
			i = len(zones)
			at[id] = i
			z, both := rx.Combined(id, geo.Region{}, p.of)
			for _, name := range both {
				if !slices.Contains(clash, name) {
					clash = append(clash, name)
				}
			}
			zones, regions, labels = append(zones, z), append(regions, nil), append(labels, p.labels())
		case !slices.Equal(labels[i], p.labels()):
			return nil, nil, fmt.Errorf("the labels %q and %q of two combinations both read %q; call the zones of the layers otherwise", labels[i], p.labels(), id)
		}
		regions[i] = append(regions[i], p.region)
	}
	for i := range zones {
		if zones[i].Region, err = geo.UnionAll(regions[i]); err != nil {
			return nil, nil, err
		}
	}
	slices.SortStableFunc(zones, func(a, b rx.Zone) int { return strings.Compare(a.ID, b.ID) })
	slices.Sort(clash)
	return zones, clash, nil
}

func checkArea(ground geo.Region, zones []rx.Zone) error {
	var sum unit.Area
	for _, z := range zones {
		sum += z.Region.Area()
	}
	if math.Abs(float64(sum-ground.Area())) > 1e-9*float64(ground.Area()) {
		return fmt.Errorf("the zones made of the layers have %s and the field %s: laying them over one another went wrong; simplify their outlines", sum, ground.Area())
	}
	return nil
}
