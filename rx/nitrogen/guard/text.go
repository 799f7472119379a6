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

// depth is a depth or a short distance: 6.5 in, 17 cm.
func (t text) depth(l unit.Length) string {
	if t.si() {
		return plain(100*l.Metres(), 0) + " cm"
	}
	return plain(l.Inches(), 1) + " in"
}

// depths is a depth and a bound that it passes.
func (t text) depths(l, bound unit.Length) (is, asked string) {
	if t.si() {
		return toldApart(100*l.Metres(), 100*bound.Metres(), 0, " cm")
	}
	return toldApart(l.Inches(), bound.Inches(), 1, " in")
}

// toldApart prints a value and the bound that it passes with as many decimals as it
// takes to tell them apart: nobody reads that 5 in is shallower than 5 in.
func toldApart(v, bound float64, decimals int, of string) (is, asked string) {
	const most = 9
	for ; decimals < most && plain(v, decimals) == plain(bound, decimals); decimals++ {
	}
	return plain(v, decimals) + of, plain(bound, decimals) + of
}

// inches is a published depth.
func (t text) inches(v float64) string { return t.depth(unit.Inches(v)) }

// inchRange is two published depths: 7 to 8 in.
func (t text) inchRange(a, b float64) string {
	first, _, _ := strings.Cut(t.inches(a), " ")
	return first + " to " + t.inches(b)
}

// rate is a rate of nitrogen: 180 lb N/ac.
func (t text) rate(r unit.NRate) string {
	if t.si() {
		return plain(r.KgNPerHa(), 0) + " kg N/ha"
	}
	return plain(r.LbNPerAcre(), 0) + " lb N/ac"
}

// rates is a rate of nitrogen and a bound that it passes.
func (t text) rates(r, bound unit.NRate) (is, most string) {
	if t.si() {
		return toldApart(r.KgNPerHa(), bound.KgNPerHa(), 0, " kg N/ha")
	}
	return toldApart(r.LbNPerAcre(), bound.LbNPerAcre(), 0, " lb N/ac")
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

// warmth is a temperature, °C as given.
func (t text) warmth(c float64) string {
	if t.si() {
		return plain(c, 1) + " °C"
	}
	return plain(c*9/5+32, 0) + " °F"
}

// warmths is a temperature and a bound that it passes, °C as given.
func (t text) warmths(c, bound float64) (is, most string) {
	if t.si() {
		return toldApart(c, bound, 1, " °C")
	}
	return toldApart(c*9/5+32, bound*9/5+32, 0, " °F")
}

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

// after and ahead are so many days from the one to the other.
func after(n int) string {
	if n == 0 {
		return "on the same day"
	}
	return "after " + days(n)
}

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
