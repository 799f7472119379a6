package asapplied

import (
	"fmt"
	"slices"

	"ratewright/geo"
)

// placed says where in a job each inspected file belongs. Whatever order they are
// given in, each has one place: what a job does not mention is treated as if it
// were not there, and off-limits ground must not vanish so.
type placed struct {
	boundary, zones *Inspection
	exclude         []*Inspection // polygons without rates that are neither
	prescribed      []*Inspection // more files of rates
	places, logs    []*Inspection
	others          []*Inspection
}

func placeFiles(files []Inspection) placed {
	var p placed
	var plain, rated []*Inspection
	for i := range files {
		f := &files[i]
		switch {
		case f.Kind == KindLog:
			p.logs = append(p.logs, f)
		case f.Kind == KindPlaces:
			p.places = append(p.places, f)
		case f.Kind == KindTable, f.Kind == KindImage:
			p.others = append(p.others, f)
		case rateColumn(f) != nil:
			rated = append(rated, f)
		default:
			plain = append(plain, f)
		}
	}
	if p.boundary = chooseBoundary(plain, rated); p.boundary != nil {
		plain, rated = without(plain, p.boundary), without(rated, p.boundary)
	}
	if p.zones = p.chooseZones(plain, rated); p.zones != nil {
		plain, rated = without(plain, p.zones), without(rated, p.zones)
	}
	p.exclude, p.prescribed = plain, rated
	return p
}

func without(files []*Inspection, f *Inspection) []*Inspection {
	return slices.DeleteFunc(slices.Clone(files), func(g *Inspection) bool { return g == f })
}

// chooseBoundary takes the file whose ground holds the most of the others, else
// the largest. Zones may be drawn beyond the boundary: one polygon goes before
// several that it fills by half.
func chooseBoundary(plain, rated []*Inspection) *Inspection {
	switch {
	case len(plain) == 0:
		plain = slices.DeleteFunc(slices.Clone(rated), func(f *Inspection) bool { return f.Kind != KindBoundary })
	case len(plain) == 1 && len(rated) == 0 && plain[0].Kind == KindZones:
		return nil // zones whose rates the job will tell
	}
	best := widest(plain)
	if best == nil || best.Kind == KindBoundary {
		return best
	}
	single := slices.DeleteFunc(slices.Clone(plain), func(f *Inspection) bool {
		return f.Kind != KindBoundary || shareWithin(best, f) < 0.5
	})
	if b := widest(single); b != nil {
		return b
	}
	return best
}

func widest(files []*Inspection) *Inspection {
	var best *Inspection
	most, largest := -1, 0.0
	for _, f := range files {
		held := 0
		for _, g := range files {
			if f != g && shareWithin(g, f) >= 0.5 {
				held++
			}
		}
		area := f.squareMetres()
		if held > most || held == most && area > largest {
			best, most, largest = f, held, area
		}
	}
	return best
}

// chooseZones takes polygons with rates, a rate map last, for it is made from
// zones and begins with its rate; else polygons that fill the boundary by half.
func (p *placed) chooseZones(plain, rated []*Inspection) *Inspection {
	for _, fits := range []func(*Inspection) bool{
		func(f *Inspection) bool { return f.Kind == KindZones && rateColumn(f) != &f.Columns[0] },
		func(f *Inspection) bool { return f.Kind == KindZones },
		func(*Inspection) bool { return true },
	} {
		if i := slices.IndexFunc(rated, fits); i >= 0 {
			return rated[i]
		}
	}
	for _, f := range plain {
		if f.Kind == KindZones && (p.boundary == nil || shareWithin(p.boundary, f) >= 0.5) {
			return f
		}
	}
	return nil
}

// rateColumn is the column of zones that holds their rates.
func rateColumn(z *Inspection) *ColumnReport {
	numeric := func(c *ColumnReport) bool { return c.Numbers > 0 && c.Numbers == c.Filled }
	for i := range z.Columns {
		if c := &z.Columns[i]; c.Role == RoleRate && numeric(c) {
			return c
		}
	}
	for i := range z.Columns {
		c := &z.Columns[i]
		h := readHeader(c.Name, nRate)
		if numeric(c) && (h.unit != "" || slices.Contains(h.words, "rate")) && !slices.Contains(h.words, "yield") {
			return c
		}
	}
	return nil
}

// counts is the unit of a rate and what it counts, or "" for what its name does
// not say.
func (c *ColumnReport) counts() (unitText, of string) {
	h := readHeader(c.Name, nRate)
	switch {
	case c.Of != "":
		of = c.Of
	case h.of != 0:
		of = h.of.String()
	}
	return h.unit, of
}

// maxJoined bounds the polygons of a file that are joined to see where it lies.
const maxJoined = 500

// region is the ground of a file, or the box around it where that is not to be had.
func (in *Inspection) region(p geo.Plane) (geo.Region, error) {
	if len(in.areas.faults) == 0 && len(in.areas.ground) <= maxJoined {
		if o, err := geo.NewOutline(in.areas.ground); err == nil {
			if r, err := p.Region(o); err == nil {
				return r, nil
			}
		}
	}
	o, err := geo.NewOutline(in.areas.bounds)
	if err != nil {
		return geo.Region{}, err
	}
	return p.Region(o)
}

// shareWithin is the share of a's ground that lies within b's.
func shareWithin(a, b *Inspection) float64 {
	o, err := geo.NewOutline(b.areas.bounds)
	if err != nil {
		return 0
	}
	plane, err := geo.PlaneFor(o)
	if err != nil {
		return 0
	}
	ra, errA := a.region(plane)
	rb, errB := b.region(plane)
	if errA != nil || errB != nil || ra.IsEmpty() { // such as one that lies too far away
		return 0
	}
	both, err := ra.Intersect(rb)
	if err != nil {
		return 0
	}
	return both.Area().SquareMetres() / ra.Area().SquareMetres()
}

// squareMetres compares files by size.
func (in *Inspection) squareMetres() float64 {
	if in.AreaM2 != nil {
		return *in.AreaM2
	}
	return in.areas.areaM2
}

// boundaryRemark asks where a file is the boundary only for want of a better one.
func (p *placed) boundaryRemark() string {
	if p.boundary.Kind == KindZones {
		return fmt.Sprintf("say: are all %d polygons this field? else add where: {COLUMN: VALUE}", p.boundary.Records)
	}
	if p.zones != nil {
		if held := shareWithin(p.zones, p.boundary); held < 0.5 {
			return fmt.Sprintf("say: is it the boundary? it holds %.0f %% of the ground of the zones", 100*held)
		}
	}
	return ""
}

// exclude offers the other polygons as cut-outs. One that would cut nothing, or
// half the field, is something else, which only the user knows.
func (k *skeleton) exclude(p *placed) {
	var doubtful []string
	first := true
	for _, f := range p.exclude {
		switch cut := shareWithin(p.boundary, f); {
		case cut == 0:
			doubtful = append(doubtful, fmt.Sprintf("# exclude: [%s]  # say what it is: it has no ground in common with the boundary", yamlText(f.Path)))
		case cut >= 0.5:
			doubtful = append(doubtful, fmt.Sprintf("# exclude: [%s]  # say what it is: it holds %.0f %% of the ground within the boundary", yamlText(f.Path), 100*cut))
		default:
			if first {
				k.line(2, "exclude:", "say: is this ground off limits? take out what is not")
				first = false
			}
			k.line(4, "- "+yamlText(f.Path), fmt.Sprintf("%.2f %% of the ground within the boundary", 100*cut))
		}
	}
	for _, text := range doubtful {
		k.line(2, text, "")
	}
}

// maps offers what other files of rates there are.
func (k *skeleton) maps(p *placed) {
	for _, f := range p.prescribed {
		c := rateColumn(f)
		u, of := c.counts()
		k.line(4, fmt.Sprintf("# prescription: {file: %s, column: %s, unit: %s, of: %s}", yamlText(f.Path), yamlText(c.Name), u, of),
			"say: was this map driven by? else name it as the file of zones, or leave it out")
	}
}

// unplaced lists files for which a job has no line.
func (k *skeleton) unplaced(others []*Inspection, unread []string) {
	for _, f := range others {
		k.line(0, fmt.Sprintf("# say what it is for: %s: %s", yamlText(f.Path), f.kindText()), "")
	}
	for _, path := range unread {
		k.line(0, fmt.Sprintf("# say what it is for: %s: it could not be read", yamlText(path)), "")
	}
}
