package rx

import (
	"fmt"
	"math"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// CheckOptions are the thresholds of CheckRateMap. They are proposals of good
// practice and none is a standard.
type CheckOptions struct {
	Overlap   unit.Area   // ground that two polygons may share
	Gap       float64     // share of the boundary that may lack a polygon, or be covered outside it
	Rates     int         // distinct rates an operator can still check by hand
	Polygons  int         // polygons a controller reads with ease
	Vertices  int         // vertices of one ring that a controller reads with ease
	BarWidth  unit.Length // full width of the machine; 0: not known, not checked
	HighNRate unit.NRate  // N above this is probably a unit mistaken
	Units     unit.System // of areas and lengths in the findings
}

// DefaultCheckOptions are the usual thresholds: 5 m2, 0.5 %, 10 rates, 1,000
// polygons, 1,000 vertices, and 400 kg N/ha (357 lb N/ac), far above what is
// recommended for corn.
func DefaultCheckOptions() CheckOptions {
	return CheckOptions{
		Overlap: unit.SquareMetres(5), Gap: 0.005, Rates: 10, Polygons: 1000, Vertices: 1000,
		HighNRate: unit.KgNPerHa(400),
	}
}

// checker gathers findings on one map.
type checker struct {
	m        RateMap
	f        Field
	limits   Limits
	options  CheckOptions
	regions  []geo.Region // one a feature; empty where the polygon is not valid
	survey   survey       // of these, on the field's ground and in its boundary
	findings []Finding
}

func (c *checker) add(s Severity, rule, format string, args ...any) {
	c.findings = append(c.findings, Finding{s, rule, fmt.Sprintf(format, args...)})
}

// CheckRateMap says what a controller would refuse in a map (Refuse) and what
// its operator should know (Note), in the order of the rules. The map is of f;
// limits are those of its application.
//
// Checked: rings and holes; degrees; overlaps, gaps and ground outside the
// boundary; rates above zero on off-limits ground; shared vertices; rates
// present, finite and within the limits; unit and what it counts; names and
// widths of columns; file name; number of rates, polygons and vertices; polygons
// narrower than the machine.
func CheckRateMap(m RateMap, f Field, limits Limits, o CheckOptions) []Finding {
	c := &checker{m: m, f: f, limits: limits, options: o}
	for _, check := range []func(){
		c.columns, c.fileName, c.rates, c.limitsKept, c.sizes,
		c.rings, c.neighbours, c.overlaps, c.coverage, c.offLimits, c.narrow,
	} {
		check()
	}
	return c.findings
}

// place names a feature for a finding.
func (c *checker) place(i int) string {
	return fmt.Sprintf("polygon %d (zone %s)", i+1, vector.Short(c.m.Features[i].ZoneID))
}

// columns checks what the attribute table can hold.
func (c *checker) columns() {
	name := c.m.Column()
	if name == "" || c.m.Of != unit.Nitrogen && c.m.Of != unit.Product {
		c.add(Refuse, "unit", "the rate column has no unit or does not say whether it counts nitrogen or product; set both under map")
	}
	if len(name) > 10 || !isASCII(name) {
		c.add(Refuse, "column name", "the rate column %q is not 10 ASCII characters or fewer", name)
	}
	if !isASCII(c.m.Product) {
		c.add(Note, "text", "the product's name %q has letters beyond ASCII, which some terminals show wrongly", c.m.Product)
	}
	for i, ft := range c.m.Features {
		if !isASCII(ft.ZoneID) {
			c.add(Note, "text", "zone id %q has letters beyond ASCII, which some terminals show wrongly", ft.ZoneID)
		}
		if len(ft.ZoneID) > vector.MaxText {
			c.add(Refuse, "text", "%s: the zone id is longer than the %d bytes a column holds; shorten it", c.place(i), vector.MaxText)
		}
	}
}

func (c *checker) fileName() {
	if err := checkMapName(c.m.Name); err != nil {
		c.add(Refuse, "file name", "%v", err)
	}
}

// rates checks each number by itself.
func (c *checker) rates() {
	distinct := map[float64]bool{}
	zeros := 0
	for i, ft := range c.m.Features {
		distinct[ft.Rate] = true
		switch {
		case math.IsNaN(ft.Rate) || math.IsInf(ft.Rate, 0):
			c.add(Refuse, "rate", "%s: the rate is not a number", c.place(i))
		case ft.Rate < 0:
			c.add(Refuse, "rate", "%s: the rate %s is below zero", c.place(i), number(ft.Rate))
		case len(fmt.Sprintf("%.*f", c.m.Decimals, ft.Rate)) > rateWidth:
			c.add(Refuse, "rate", "%s: the rate %s has more digits than the column's %d; use a larger unit", c.place(i), number(ft.Rate), rateWidth)
		case ft.NRate > c.options.HighNRate:
			c.add(Note, "size of rate", "%s: %s kg N/ha (%s lb N/ac) is above any usual rate; check the unit and whether it counts nitrogen or product", c.place(i), number(roundTo(ft.NRate.KgNPerHa(), 1)), number(roundTo(ft.NRate.LbNPerAcre(), 1)))
		}
		if ft.Rate == 0 {
			zeros++
		}
	}
	if zeros > 0 {
		c.add(Note, "zero rates", "%s with rate zero; see that the controller shuts off there and does not fall back to its default", countOf(zeros, "polygon"))
	}
	if n := len(distinct); n > c.options.Rates {
		c.add(Note, "number of rates", "%d different rates; more than %d are hard to check by hand; a larger step makes fewer", n, c.options.Rates)
	}
}

// limitsKept checks rates above zero against the application's limits, by half
// of the map's last digit.
func (c *checker) limitsKept() {
	for i, ft := range c.m.Features {
		if ft.Rate <= 0 {
			continue
		}
		share := ft.Rate / (ft.Rate + halfDigit(c.m.Decimals))
		for _, b := range []struct {
			limit *unit.Rate
			above bool
			text  string
		}{{c.limits.Min, false, "below the minimum"}, {c.limits.Max, true, "above the maximum"}} {
			if b.limit == nil || c.limits.Of != c.m.Of || b.limit.Unit.IsVolume() != c.m.Unit.IsVolume() {
				continue
			}
			rate, limit := ft.Rate*c.m.Unit.PerHa(), b.limit.PerHa()
			if b.above && rate*share > limit || !b.above && rate/share < limit {
				c.add(Note, "limits", "%s: the rate %s %s is %s %s", c.place(i), number(ft.Rate), c.m.Unit, b.text, b.limit)
			}
		}
	}
}

func (c *checker) sizes() {
	if len(c.m.Features) == 0 {
		c.add(Refuse, "empty map", "the map has no polygon")
	}
	if n := len(c.m.Features); n > c.options.Polygons {
		c.add(Note, "polygons", "%d polygons; some controllers are slow or stop above %d; join zones or use a larger step", n, c.options.Polygons)
	}
	for i, ft := range c.m.Features {
		for _, ring := range ft.Polygon {
			if len(ring) > c.options.Vertices {
				c.add(Note, "vertices", "%s: a ring of %d vertices; some controllers are slow or stop above %d; simplify the outline", c.place(i), len(ring), c.options.Vertices)
			}
		}
	}
}

func isASCII(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return true
}

// rateWidth is the width of the attribute table's columns of rates, in bytes: digits,
// point and decimals.
const rateWidth = 9

// halfDigit is half of the last of so many decimals.
func halfDigit(decimals int) float64 { return 0.5 * math.Pow10(-decimals) }
