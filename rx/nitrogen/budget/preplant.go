package budget

import (
	"fmt"
	"slices"

	"ratewright/geo/unit"
)

// DefaultNitrate is the mean nitrate-N of the root zone for a soil that was not sampled.
// Source: Univ. of Nebraska EC117, CropWatch 9 Jul 2019.
func (co Coefficients) DefaultNitrate(sandy bool) unit.PPM {
	if sandy {
		return unit.PPM(co.NitrateSandy)
	}
	return unit.PPM(co.NitrateMedium)
}

// Layer is nitrate-N in a layer of soil.
type Layer struct {
	Thickness unit.Length
	Nitrate   unit.PPM
}

// MeanNitrate is the mean of layers, weighed by thickness.
func MeanNitrate(layers []Layer) (unit.PPM, unit.Length, error) {
	var sum float64
	var depth unit.Length
	for i, l := range layers {
		if err := checkPPM(fmt.Sprintf("nitrate-N of layer %d", i+1), l.Nitrate); err != nil {
			return 0, 0, err
		}
		if err := bounded(fmt.Sprintf("the thickness of layer %d", i+1), l.Thickness.Inches(), 0.5, 120, "in", "check its unit"); err != nil {
			return 0, 0, err
		}
		sum += l.Nitrate.MgPerKg() * float64(l.Thickness)
		depth += l.Thickness
	}
	if depth == 0 {
		return 0, 0, fmt.Errorf("no layer of soil is given")
	}
	return unit.PPM(sum / float64(depth)), depth, nil
}

// ResidualNitrate is the nitrate-N in layers as a credit: 0.3 lb/ac for each ppm and inch,
// or another factor where one is given. background is what the soil has in any year and is
// counted in the rule already: it is taken off, to none at least. Wisconsin takes 50 lb/ac
// off the sum of two feet and an estimate of the third (from memory); nil takes nothing off.
// Source: Univ. of Nebraska, from memory; other states reckon 11 % more.
func (co Coefficients) ResidualNitrate(layers []Layer, factor *float64, background *unit.NRate) (Credit, error) {
	lbPerInchPPM, own := co.LbPerPPMInch, co.own(&co.LbPerPPMInch)
	if factor != nil {
		lbPerInchPPM, own = *factor, nil
		if lbPerInchPPM != lbPerPPMInch {
			own = []string{fmt.Sprintf("factor %g lb N/ac per ppm and inch in place of %g", lbPerInchPPM, lbPerPPMInch)}
		}
	}
	mean, depth, err := MeanNitrate(layers)
	if err != nil {
		return Credit{}, err
	}
	if err := bounded("the factor from ppm", lbPerInchPPM, 0.2, 0.45, "lb/ac per ppm and inch", "0.3 to 0.333 is usual"); err != nil {
		return Credit{}, err
	}
	w := words{co.Units}
	c := Credit{
		What:   fmt.Sprintf("nitrate-N in the soil: %s x %.2f ppm x %s", w.perPPMInch(lbPerInchPPM), mean.MgPerKg(), w.Depth(depth)),
		N:      unit.LbNPerAcre(lbPerInchPPM * mean.MgPerKg() * depth.Inches()),
		Source: w.cite("Univ. of Nebraska (from memory); states differ by 11 %", fmt.Sprintf("%g lb N/ac per ppm and in", lbPerInchPPM), own),
	}
	c.Nitrate, c.Residual = true, &Residual{layers, factor, background}
	if background != nil {
		if v := background.LbNPerAcre(); !(v >= 0 && v <= mostBackground) {
			return Credit{}, fmt.Errorf("a background of %s cannot be: it lies between zero and %s; Wisconsin takes %s (from memory)", w.NRate(*background), w.NRate(unit.LbNPerAcre(mostBackground)), w.NRate(unit.LbNPerAcre(50)))
		}
		c.What += ", less a background of " + w.NRate(*background)
		c.Source += "; the background given in the job"
		c.N = max(0, c.N-*background)
	}
	if depth < unit.Inches(leastDepth-slack) {
		c.Notes = append(c.Notes, fmt.Sprintf("the soil was sampled to %s; Univ. of Nebraska EC117 asks for %s or more", w.Depth(depth), w.Depth(unit.Inches(leastDepth))))
	}
	if depth > unit.Inches(leastDepth-slack) && depth < unit.Inches(deepEnough-slack) && mean.MgPerKg() > co.DeepNote {
		c.Notes = append(c.Notes, fmt.Sprintf("%.1f ppm in %s is more than %g: sample deeper, to %s%s", mean.MgPerKg(), w.Depth(depth), co.DeepNote, w.Depth(unit.Inches(deepEnough)), co.aside("Univ. of Nebraska EC117", &co.DeepNote)))
	}
	return c, nil
}

// Residual is what ResidualNitrate works with.
type Residual struct {
	Layers     []Layer
	Factor     *float64    // nil: the coefficient
	Background *unit.NRate // nil: none
}

// Moved is the credit where a test found so much more in every layer, or less; no layer is
// moved beyond what a soil can have.
func (co Coefficients) Moved(r Residual, by unit.PPM) (Credit, error) {
	layers := slices.Clone(r.Layers)
	for i := range layers {
		layers[i].Nitrate = WithinPPM(layers[i].Nitrate + by)
	}
	return co.ResidualNitrate(layers, r.Factor, r.Background)
}
