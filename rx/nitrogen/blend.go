package nitrogen

import (
	"fmt"
	"math"
	"strings"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// Part is one source in a blend with its share of the mass or of the volume,
// as a fraction of one.
type Part struct {
	Source Source
	Share  float64
}

// Blend mixes sources. The shares are by mass, or by volume where byVolume, and
// must sum to one within 0.001, the rounding of shares written in percent; they
// are then scaled to sum exactly. Contents are averaged by mass. The density is
// that of volumes which add up (the mass of the parts over their volumes
// unmixed); it is unknown where that of any part is. Anhydrous ammonia is not
// blended: it is a liquid only under pressure.
func Blend(name string, parts []Part, byVolume bool) (Source, error) {
	if err := blendable(name, parts, byVolume); err != nil {
		return Source{}, err
	}
	blend := Source{Name: name, Label: name}
	var mass, volume, shares float64
	dense, formsKnown := true, true
	for _, p := range parts {
		m := p.Share
		if byVolume {
			m *= p.Source.Density.KgPerLitre()
		}
		mass += m
		shares += p.Share
		blend.PercentN += m * p.Source.PercentN
		blend.UreaN += m * p.Source.UreaN
		blend.AmmoniumN += m * p.Source.AmmoniumN
		blend.NitrateN += m * p.Source.NitrateN
		formsKnown = formsKnown && p.Source.formsKnown()
		if dense = dense && p.Source.HasDensity; dense {
			volume += m / p.Source.Density.KgPerLitre()
		}
	}
	for _, sum := range []*float64{&blend.PercentN, &blend.UreaN, &blend.AmmoniumN, &blend.NitrateN} {
		*sum /= mass
		if !formsKnown && sum != &blend.PercentN {
			*sum = 0
		}
	}
	blend.Notes = []string{describe(blend, parts, shares, byVolume)}
	if !formsKnown {
		blend.Notes = append(blend.Notes, unknownForms(name))
	}
	if dense {
		blend.Density, blend.HasDensity = unit.KgPerLitre(mass/volume), true
		blend.Notes = append(blend.Notes, fmt.Sprintf("%s%s reckoned as %s, as if volumes add up, from densities that differ by ±%g %% between sources and move with temperature: weigh a gallon of the blend and set its density where rates go by volume",
			densityOf, name, bothUnits(blend.Density), densitySpread))
	}
	return blend, nil
}

// blendable says what keeps the parts from being mixed.
func blendable(name string, parts []Part, byVolume bool) error {
	if strings.TrimSpace(name) == "" {
		return fmt.Errorf("a blend without a name; give it one")
	}
	var sum float64
	for _, p := range parts {
		switch {
		case !(p.Share > 0 && p.Share <= 1):
			return fmt.Errorf("blend %s: a share of %g %% of %s is not possible; write a share above 0 %%", vector.Short(name), 100*p.Share, vector.Short(p.Source.Name))
		case !(p.Source.PercentN > 0):
			return fmt.Errorf("blend %s: part %q has no nitrogen; take a known source or define it", vector.Short(name), vector.Short(p.Source.Name))
		case p.Source.Ammonia:
			return fmt.Errorf("blend %s: %s is a liquid only under pressure and cannot be blended; make it an application of its own", vector.Short(name), vector.Short(p.Source.Name))
		case byVolume && !p.Source.HasDensity:
			return fmt.Errorf("blend %s: %s has no density, so its share cannot be by volume; set its density or give shares by mass", vector.Short(name), vector.Short(p.Source.Name))
		}
		sum += p.Share
	}
	const rounding = 0.001
	if !(math.Abs(sum-1) <= rounding) {
		return fmt.Errorf("blend %s: the shares sum to %.4g %%, not 100 %%", vector.Short(name), 100*sum)
	}
	return nil
}

// describe puts a blend in words: "mix is 50 % UAN 28 + 50 % 10-34-0 by volume: 18.6 % N".
func describe(blend Source, parts []Part, shares float64, byVolume bool) string {
	var texts []string
	for _, p := range parts {
		texts = append(texts, fmt.Sprintf("%.4g %% %s", 100*p.Share/shares, p.Source.Label))
	}
	by := "mass"
	if byVolume {
		by = "volume"
	}
	return fmt.Sprintf("%s is %s by %s: %.4g %% N by mass", blend.Name, strings.Join(texts, " + "), by, blend.PercentN)
}
