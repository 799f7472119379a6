package guard

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"ratewright/geo/unit"
)

// text puts figures into words in one system of units.
type text struct{ u unit.System }

// plain is a number without decimals that say nothing.
func plain(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

func (t text) si() bool { return t.u == unit.SI }

// figure is a value in the unit that it is printed in, with the most decimals that matter.
type figure struct {
	value    float64
	decimals int
	unit     string
}

func (f figure) String() string { return plain(f.value, f.decimals) + " " + f.unit }

// toldApart prints a figure and the bound that it passes with as many decimals as it
// takes to tell them apart: nobody reads that 5 in is shallower than 5 in.
func toldApart(is, bound figure) (string, string) {
	const most = 9
	for is.decimals < most && is.String() == bound.String() {
		is.decimals++
		bound.decimals++
	}
	return is.String(), bound.String()
}

// inDepth is a depth or a short distance: 6.5 in, 17 cm.
func (t text) inDepth(l unit.Length) figure {
	if t.si() {
		return figure{100 * l.Metres(), 0, "cm"}
	}
	return figure{l.Inches(), 1, "in"}
}

func (t text) depth(l unit.Length) string { return t.inDepth(l).String() }

// depths is a depth and a bound that it passes.
func (t text) depths(l, bound unit.Length) (is, asked string) {
	return toldApart(t.inDepth(l), t.inDepth(bound))
}

// inches is a published depth.
func (t text) inches(v float64) string { return t.depth(unit.Inches(v)) }

// inchRange is two published depths: 7 to 8 in.
func (t text) inchRange(a, b float64) string {
	first, _, _ := strings.Cut(t.inches(a), " ")
	return first + " to " + t.inches(b)
}

// inRate is a rate of nitrogen: 180 lb N/ac.
func (t text) inRate(r unit.NRate) figure {
	if t.si() {
		return figure{r.KgNPerHa(), 0, "kg N/ha"}
	}
	return figure{r.LbNPerAcre(), 0, "lb N/ac"}
}

func (t text) rate(r unit.NRate) string { return t.inRate(r).String() }

// rates is a rate of nitrogen and a bound that it passes.
func (t text) rates(r, bound unit.NRate) (is, most string) {
	return toldApart(t.inRate(r), t.inRate(bound))
}

// rain is a depth of water: 0.3 in, 7.6 mm.
func (t text) rain(mm float64) string {
	if t.si() {
		return plain(mm, 1) + " mm"
	}
	return plain(mm/25.4, 2) + " in"
}

// rainRange is two published depths of water in inches.
func (t text) rainRange(a, b float64) string {
	first, _, _ := strings.Cut(t.rain(a*25.4), " ")
	return first + " to " + t.rain(b*25.4)
}

// inWarmth is a temperature, °C as given.
func (t text) inWarmth(c float64) figure {
	if t.si() {
		return figure{c, 1, "°C"}
	}
	return figure{c*9/5 + 32, 0, "°F"}
}

func (t text) warmth(c float64) string { return t.inWarmth(c).String() }

// warmths is a temperature and a bound that it passes, °C as given.
func (t text) warmths(c, bound float64) (is, most string) {
	return toldApart(t.inWarmth(c), t.inWarmth(bound))
}

// shallow is a depth within the first inch: 0.25 in, 6.4 mm.
func (t text) shallow(l unit.Length) string { return t.rain(1000 * l.Metres()) }

// degrees is a difference of temperatures, °C as given.
func (t text) degrees(c float64) string {
	if t.si() {
		return plain(c, 1) + " °C"
	}
	return plain(c*9/5, 0) + " °F"
}

// ppm is nitrogen by mass of soil, to three figures.
func ppm(v unit.PPM) string { return fmt.Sprintf("%.0f ppm", math.Round(v.MgPerKg())) }

func percent(share float64) string { return plain(100*share, 0) + " %" }

// after tells when planting follows an application that many days before.
func after(n int) string {
	if n == 0 {
		return "on the same day"
	}
	return "after " + days(n)
}

// ahead tells how long before planting an application goes on.
func ahead(n int) string {
	if n == 0 {
		return "on the day of planting"
	}
	return "on " + days(n) + " before planting"
}

func days(n int) string {
	if n == 1 {
		return "1 day"
	}
	return strconv.Itoa(n) + " days"
}
