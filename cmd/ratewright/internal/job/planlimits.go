package job

import (
	"fmt"
	"slices"

	"ratewright/geo/unit"
	"ratewright/rx/plan"
)

// mostAmount is more kilograms or hours than anybody has.
const mostAmount = 1e12

// planLimits are the supplies of a job and then its times to work, in its order.
func (j Job) planLimits() ([]plan.Limit, error) {
	sources, works := map[string]bool{}, map[string]bool{} // that strategies use
	for _, s := range j.Strategies {
		for _, t := range s.Trips {
			source, _ := j.plainSource(t.Source)
			sources[source], works[t.Work] = true, true
		}
	}
	limits, err := j.supplyLimits(sources)
	if err != nil {
		return nil, err
	}
	for _, w := range j.Work {
		if !works[w.Name] {
			return nil, j.fault(w.line, fmt.Sprintf("work %s, which no strategy uses", w.Name), "name it as `work:` of an application, or leave it out")
		}
		if slices.ContainsFunc(limits, func(l plan.Limit) bool { return l.Name == w.Name }) {
			return nil, j.fault(w.line, fmt.Sprintf("work %s has the name of a product under supply", w.Name), "give it another name")
		}
		if w.Available > mostAmount {
			return nil, j.fault(w.line, fmt.Sprintf("work %s is available for longer than there is time", w.Name), "correct it, or leave it out where there is enough")
		}
		limits = append(limits, plan.Limit{Name: w.Name, Unit: w.Unit, Amount: w.Available})
	}
	return limits, nil
}

// uses is what a trip takes of the limits, by their places in planLimits.
func (j Job) uses(t TripSpec, percentN float64) []plan.Use {
	var uses []plan.Use
	source, _ := j.plainSource(t.Source)
	for i, s := range j.Supply {
		if name, _ := j.plainSource(s.Source); name == source {
			uses = append(uses, plan.Use{Limit: i, PerKgN: 100 / percentN})
		}
	}
	for i, w := range j.Work {
		if w.Name == t.Work {
			uses = append(uses, plan.Use{Limit: len(j.Supply) + i, PerHa: 1 / w.Rate.Hectares()})
		}
	}
	return uses
}

// supplyLimits are the supplies, each of a source that a strategy uses.
func (j Job) supplyLimits(used map[string]bool) ([]plan.Limit, error) {
	var limits []plan.Limit
	given := map[string]bool{}
	more := unit.ShortTons(1).Kilograms()
	if j.Units == unit.SI {
		more = 1000 // a tonne
	}
	for _, s := range j.Supply {
		source, ok := j.plainSource(s.Source)
		if given[source] {
			return nil, j.fault(s.line, fmt.Sprintf("supply of %s is given twice", source), "write all there is of it once")
		}
		given[source] = true
		if !ok || !used[source] {
			return nil, j.fault(s.line, fmt.Sprintf("supply of %s, which no strategy uses", s.Source), "name a source as the strategies name it")
		}
		src, err := j.source(ApplicationSpec{Source: s.Source, sourceLine: s.line})
		if err != nil {
			return nil, err
		}
		l := plan.Limit{Name: j.supplyName(source, src.Label), Unit: "kg", Amount: s.Mass.Kilograms(), More: more}
		if s.Mass == 0 && s.Volume > 0 {
			if !src.HasDensity {
				return nil, j.fault(s.line, fmt.Sprintf("supply of %s is by volume, and it has no density", s.Source), "give it by mass, or a density under `sources:`")
			}
			l.Amount = s.Volume.Litres() * src.Density.KgPerLitre()
		}
		if l.Amount > mostAmount {
			return nil, j.fault(s.line, fmt.Sprintf("supply of %s is more than there is", s.Source), "correct it, or leave it out where there is enough")
		}
		limits = append(limits, l)
	}
	return limits, nil
}

// supplyName is the label of a product, with the name of its source where the strategies
// have another of that label.
func (j Job) supplyName(source, label string) string {
	for _, s := range j.Strategies {
		for _, t := range s.Trips {
			other, _ := j.plainSource(t.Source)
			if other == source {
				continue
			}
			if src, err := j.source(ApplicationSpec{Source: t.Source, sourceLine: t.line}); err == nil && src.Label == label {
				return label + " (" + source + ")"
			}
		}
	}
	return label
}
