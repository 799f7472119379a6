package soil

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"ratewright/geo/vector"
)

// leastKnown is the share of a unit, by percent of its components and by depth, that must
// be described for a value to stand for all of it: a majority. What is known of less is of
// some other soil, and a rate must not follow from it.
//
// Source: a choice of this project.
// Range: 0.5 to 0.8.
// Unit: share of the unit.
const leastKnown = 0.5

// merge makes the unit's values of its components.
func (u *Unit) merge(parts []*component, depth float64, file string) error {
	if len(parts) == 0 {
		u.Notes = append(u.Notes, "no component of it is in the survey, so nothing is known of its soil")
		return nil
	}
	sort.SliceStable(parts, func(i, j int) bool { return parts[i].pct > parts[j].pct })
	var all float64
	var without []string
	for _, c := range parts {
		all += c.pct
		if c.hasHorizon {
			u.WithPct += c.pct
		} else {
			without = append(without, fmt.Sprintf("%s (%g %%)", c.name, c.pct))
		}
	}
	if all > 100+1e-6 {
		return &vector.InputError{File: file, Place: "map unit " + u.Symbol, What: fmt.Sprintf("its components add up to %g %%", all), Fix: "correct the percents"}
	}
	if all < 100*leastKnown {
		return tooFew(file, u.Symbol, all)
	}
	if all < 100-1e-6 {
		u.Notes = append(u.Notes, fmt.Sprintf("its components add up to %g %%; the other %.3g %% of it is not described and is taken to be like them", all, 100-all))
	}
	if len(without) > 0 {
		u.Notes = append(u.Notes, "components without horizons in this depth count for nothing: "+strings.Join(without, ", "))
	}
	main := parts[0]
	u.Component, u.ComponentPct, u.Drainage, u.Hydrologic = main.name, main.pct, main.drainage, main.hydrologic
	alike := map[string][]string{} // properties by what is to be said of them
	var said []string
	for i, p := range properties {
		v, note := over(parts, i, depth)
		*p.of(u) = v
		if note != "" && alike[note] == nil {
			said = append(said, note)
		}
		alike[note] = append(alike[note], p.name)
	}
	for _, note := range said {
		u.Notes = append(u.Notes, strings.Join(alike[note], ", ")+": "+note)
	}
	if u.Sand.Known && u.Silt.Known && u.Clay.Known {
		class, err := Texture(u.Sand.Mid, u.Silt.Mid, u.Clay.Mid)
		if err != nil {
			u.Notes = append(u.Notes, "no texture: "+err.Error())
		}
		u.Texture, u.Group = class, Group(class)
	}
	for _, c := range parts {
		if c.hasHorizon && c.reach < depth-1e-6 { // rock, or horizons that are lost
			u.Notes = append(u.Notes, fmt.Sprintf("the horizons of %s (%g %%) go down to %.0f of %.0f cm; its values are of that", c.name, c.pct, c.reach, depth))
		}
		if c.nowhere > 0 {
			u.Notes = append(u.Notes, fmt.Sprintf("%d horizons of %s (%g %%) have no depths and are left out", c.nowhere, c.name, c.pct))
		}
	}
	return nil
}

// tooFew refuses percents that describe less than half of a unit.
func tooFew(file, symbol string, all float64) error {
	fix := "download the survey area again: rows are missing, or percents are wrong"
	if all <= 1+1e-6 {
		fix = "write percents such as 85, not fractions such as 0.85"
	}
	return &vector.InputError{File: file, Place: "map unit " + symbol, What: fmt.Sprintf("its components add up to %g %%, less than half of the unit", all), Fix: fix}
}

// over is a property of a unit, and what is to be said of where it is not known. What is
// known of less than half of the unit and its depth is not known of the unit. The depth of
// a component ends where its horizons do, as over rock; one without any has all of it.
func over(parts []*component, i int, depth float64) (Value, string) {
	var known, soil float64
	described := false
	var gaps []string
	for _, c := range parts {
		has, deep := c.thick[i][1], depth
		if c.hasHorizon {
			described, deep = true, c.reach // below, there is none
			if has < c.reach-1e-6 && c.pct > 0 {
				gaps = append(gaps, fmt.Sprintf("%s (%g %%) has none in %.0f of %.0f cm", c.name, c.pct, c.reach-has, c.reach))
			}
		}
		known += c.pct * has
		soil += c.pct * deep
	}
	share := known / soil
	told := strings.Join(gaps, ", ")
	switch {
	case share < leastKnown && described:
		if told != "" {
			told = ": " + told
		}
		return Value{Low: math.NaN(), Mid: math.NaN(), High: math.NaN()},
			fmt.Sprintf("known of %.0f %% of the unit and depth alone, less than half, and so not taken%s", 100*share, told)
	case told != "":
		return mean(parts, i), fmt.Sprintf("the value is of the %.0f %% of the unit and depth where it is known: %s", 100*share, told)
	}
	return mean(parts, i), ""
}

// mean weighs components by their percent.
func mean(parts []*component, i int) Value {
	var v [3]float64
	for k := range v {
		var sum, pct float64
		for _, c := range parts {
			if c.thick[i][k] > 0 {
				sum += c.pct * c.sum[i][k] / c.thick[i][k]
				pct += c.pct
			}
		}
		v[k] = math.NaN()
		if pct > 0 {
			v[k] = sum / pct
		}
	}
	return Value{Low: v[0], Mid: v[1], High: v[2], Known: !math.IsNaN(v[1])}
}
