package job

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"

	"ratewright/geo/unit"
	"ratewright/rx"
	"ratewright/rx/nitrogen"
	"ratewright/rx/nitrogen/starter"
)

// StarterSpec says where a starter lies.
type StarterSpec struct {
	Placement starter.Placement
	Table     string
	Soil      starter.Soil
	Rows      unit.Length
	K2O       *float64 // share of the product's mass; nil: that of the source's grade
	Limit     unit.NRate
	line      int
}

var gradeOf = regexp.MustCompile(`^[0-9.]+-[0-9.]+-([0-9.]+)`)

// checkStarter compares the rate of every zone with what may lie with the seed or
// beside it. A rate above that is an error: it can keep corn from coming up.
func (j Job) checkStarter(a ApplicationSpec, p rx.Prescription) ([]string, error) {
	s := a.Starter
	if s == nil {
		return nil, nil
	}
	source := p.Application.Source
	k2o, known := j.potash(a.Source)
	if s.K2O != nil {
		if known && math.Abs(*s.K2O-k2o) > 5e-4 {
			return nil, j.fault(s.line, fmt.Sprintf("application %s: starter: k2o is %g %%, and the grade of %s says %g %%", a.Name, 100**s.K2O, source.Called(), 100*k2o), "leave k2o out, or correct the grade")
		}
		k2o, known = *s.K2O, true
	}
	if !known {
		return nil, j.fault(s.line, fmt.Sprintf("application %s: starter: how much potash %s holds is not known", a.Name, source.Called()), "write k2o: 0 % or what the label says, or give the source a grade such as 10-34-0")
	}
	var most starter.Verdict
	var where string
	var errs []error
	for _, z := range p.Zones {
		v, err := starter.Check(starter.Start{
			Placement: s.Placement, Table: s.Table, Soil: s.Soil, Rows: s.Rows, Limit: s.Limit, Units: j.Units,
			N: z.NRate, K2O: unit.NRate(z.ProductRate.KgPerHa() * k2o),
			Urea: source.UreaN > 0, Thiosulfate: j.holds(a.Source, "ammonium-thiosulfate"), Ammonia: source.Ammonia,
			Unknown: source.UreaN+source.AmmoniumN+source.NitrateN == 0,
		})
		switch {
		case err != nil:
			return nil, j.fault(s.line, fmt.Sprintf("application %s: starter: %v", a.Name, err), "")
		case !v.Within:
			errs = append(errs, j.fault(s.line, fmt.Sprintf("application %s: zone %s: %s", a.Name, z.ZoneID, v.Words), "apply less there, or place it further from the seed"))
		case where == "" || v.Sum > most.Sum:
			most, where = v, z.ZoneID
		}
	}
	if err := errors.Join(errs...); err != nil || where == "" {
		return nil, err
	}
	return []string{fmt.Sprintf("at most, in zone %s, %s", where, most.Words)}, nil
}

// potash is the share of K2O in a source: that of its grade, or of the parts of a blend by
// mass; false where it is not known.
func (j Job) potash(name string) (float64, bool) {
	for _, s := range j.Sources {
		if s.Name != name {
			continue
		}
		switch {
		case s.Grade != "":
			return potashOf(s.Grade)
		case s.Like != "" && s.Like != name:
			return j.potash(s.Like)
		case len(s.Blend) > 0 && !s.ByVolume:
			sum := 0.0
			for _, part := range s.Blend {
				share, ok := j.potash(part.Source)
				if !ok || part.Source == name {
					return 0, false
				}
				sum += part.Share * share
			}
			return sum, true
		}
		return 0, false
	}
	known, ok := nitrogen.Known(name)
	if !ok {
		return 0, false
	}
	return potashOf(known.Grade)
}

func potashOf(grade string) (float64, bool) {
	m := gradeOf.FindStringSubmatch(grade)
	if m == nil {
		return 0, false
	}
	percent, err := strconv.ParseFloat(m[1], 64)
	return percent / 100, err == nil
}

// holds tells whether a source is another one, is like it, or has it in its blend.
func (j Job) holds(name, other string) bool {
	if name == other {
		return true
	}
	for _, s := range j.Sources {
		if s.Name != name {
			continue
		}
		if s.Like != "" && s.Like != name && j.holds(s.Like, other) {
			return true
		}
		for _, part := range s.Blend {
			if part.Source != name && part.Share > 0 && j.holds(part.Source, other) {
				return true
			}
		}
	}
	return false
}
