package response

import (
	"math"

	"ratewright/geo/unit"
)

// Prices are what nitrogen costs and what grain brings.
type Prices struct {
	N     unit.NPrice
	Grain unit.GrainPrice
}

// Ratio is the price of a kilogram of nitrogen in kilograms of grain, the slope
// at which a further kilogram no longer pays.
func (p Prices) Ratio() float64 { return p.N.PerKg() / p.Grain.PerKg() }

// check refuses prices that are zero, negative or no numbers.
func (p Prices) check() error {
	const most = 1e9 // $/kg; products of more overflow nothing but mean nothing
	n, g := p.N.PerKg(), p.Grain.PerKg()
	for _, v := range []struct {
		name  string
		value float64
	}{{"nitrogen", n}, {"grain", g}} {
		if !(v.value > 0 && v.value < most) {
			return refuse(BadPrice, "the price of %s is %s $/kg; there is no best rate without prices above zero", v.name, figure(v.value))
		}
	}
	if r := p.Ratio(); !(r >= leastRatio && r <= mostRatio) {
		return refuse(BadPrice, "nitrogen at %.4g $/kg (%.4g $/lb) and grain at %.4g $/kg (%.4g $/bu): a kg of nitrogen then costs as much as %s kg of grain, which is not possible; check the units of both prices",
			n, p.N.PerPound(), g, p.Grain.PerBushel(), rounded(r))
	}
	return nil
}

// returnOf is the money per area that more grain brings, less what the nitrogen costs.
func (p Prices) returnOf(grainKgHa, rateKgHa float64) unit.Return {
	return unit.Return(p.Grain.PerKg()*grainKgHa - p.N.PerKg()*rateKgHa)
}

func checkSum(sum unit.Return) error {
	if v := sum.PerHa(); !(v >= 0 && v < 1e12) {
		return refuse(BadPrice, "a return within %s $/ha of the best makes no sense; give a sum of zero or more", figure(v))
	}
	return nil
}

func checkLevel(level float64) error {
	const least, most = 0.01, 0.9999
	if !(level >= least && level <= most) {
		return refuse(BadPrice, "a confidence level of %s is not possible; write a share such as 0.9 or 0.95", figure(level))
	}
	return nil
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
