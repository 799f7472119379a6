package budget

import (
	"fmt"

	"ratewright/geo/unit"
)

// The numbers of the rules are published in pounds, bushels, acres and inches. Terms are
// written in the units of the one who reads them, and where those are others, the source
// tells the published number.

// words writes terms in a system of units.
type words struct{ unit.System }

// perYield is nitrogen for each unit of yield, of a number in lb/bu.
func (w words) perYield(lb float64) string {
	if w.System == unit.SI {
		return fmt.Sprintf("%.4g kg N/t", 1000*unit.LbNPerAcre(lb).KgNPerHa()/unit.BushelsPerAcre(1).KgPerHa())
	}
	return fmt.Sprintf("%g lb N/bu", lb)
}

// perPPM is nitrogen per area for each ppm, of a number in lb/ac.
func (w words) perPPM(lb float64) string {
	if w.System == unit.SI {
		return fmt.Sprintf("%.4g kg N/ha per ppm", unit.LbNPerAcre(lb).KgNPerHa())
	}
	return fmt.Sprintf("%g lb N/ac per ppm", lb)
}

// perPPMInch is nitrogen per area for each ppm in a depth, of a number in lb/ac and inch.
func (w words) perPPMInch(lb float64) string {
	if w.System == unit.SI {
		return fmt.Sprintf("%.4g kg N/ha per ppm and cm", unit.LbNPerAcre(lb).KgNPerHa()/(100*unit.Inches(1).Metres()))
	}
	return fmt.Sprintf("%g lb N/ac per ppm and in", lb)
}

// soybeans is a yield of soybean, of which a bushel has 60 lb.
func (w words) soybeans(bushels float64) string {
	if w.System == unit.SI {
		return fmt.Sprintf("%.2f t/ha", bushels*soybeanBushel*unit.LbNPerAcre(1).KgNPerHa()/1000)
	}
	return fmt.Sprintf("%.1f bu/ac", bushels)
}

// manure is what was put down and what it holds, of short tons.
func (w words) manure(tonsPerAcre, lbPerTon float64) string {
	if w.System == unit.SI {
		return fmt.Sprintf("%.4g t/ha x %.4g kg N/t", tonsPerAcre*shortTon*unit.LbNPerAcre(1).KgNPerHa()/1000, lbPerTon/shortTon*1000)
	}
	return fmt.Sprintf("%g ton/ac x %g lb N/ton", tonsPerAcre, lbPerTon)
}

// shortTon is a ton in pounds.
//
// Source: the definition.
// Range: 2000.
// Unit: lb.
const shortTon = 2000

// soybeanBushel is a bushel of soybean in pounds.
//
// Source: common practice of the trade.
// Range: 60.
// Unit: lb.
const soybeanBushel = 60

// plants is how dense a stand is, of a count in a square foot.
func (w words) plants(perFt2 float64) string {
	if w.System == unit.SI {
		return fmt.Sprintf("%.3g plants/m2", perFt2/unit.Feet(1).Metres()/unit.Feet(1).Metres())
	}
	return fmt.Sprintf("%g plants/ft2", perFt2)
}

// published adds to a source what it prints, where the term says it in other units.
func (w words) published(source, number string) string {
	if w.System == unit.SI {
		return source + "; printed as " + number
	}
	return source
}
