package soil

import (
	"fmt"
	"path/filepath"

	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// Value is a property over the depth asked for. Known is false where the survey has
// none; low and high are NaN where it has none of those.
type Value struct {
	Low, Mid, High float64
	Known          bool
}

// Unit is a map unit of the survey.
type Unit struct {
	Key, Symbol, Name string
	OM                Value // organic matter, percent
	PH                Value // in water, 1:1
	CEC               Value // at pH 7, meq/100 g
	Sand, Silt, Clay  Value // percent
	Texture, Group    string
	Drainage          string // class of the main component
	Hydrologic        string // its hydrologic group
	Component         string // the main component
	ComponentPct      float64
	WithPct           float64 // percent of the unit whose components have horizons
	Notes             []string
}

// property is a column of the horizons with what it can be.
type property struct {
	name   string
	column string
	most   float64
	of     func(*Unit) *Value
}

const (
	// mostPercent is the whole.
	//
	// Source: by definition.
	// Range: 100.
	// Unit: percent.
	mostPercent = 100

	// mostSurveyedCEC is that of peat in the tables of a survey.
	//
	// Source: the range of the column in USDA soil survey tables, from memory.
	// Range: 250 to 400.
	// Unit: meq/100 g.
	mostSurveyedCEC = 400
)

var properties = []property{
	{"organic matter", "om", mostPercent, func(u *Unit) *Value { return &u.OM }},
	{"pH", "ph1to1h2o", mostPH, func(u *Unit) *Value { return &u.PH }},
	{"CEC", "cec7", mostSurveyedCEC, func(u *Unit) *Value { return &u.CEC }},
	{"sand", "sandtotal", mostPercent, func(u *Unit) *Value { return &u.Sand }},
	{"silt", "silttotal", mostPercent, func(u *Unit) *Value { return &u.Silt }},
	{"clay", "claytotal", mostPercent, func(u *Unit) *Value { return &u.Clay }},
}

// component is a part of a map unit; sums are of thickness times value and of thickness.
type component struct {
	name, drainage, hydrologic string
	pct                        float64
	hasHorizon                 bool
	reach                      float64      // cm of the depth down to which its horizons go
	sum, thick                 [][3]float64 // by property: low, mid, high
	spans                      [][2]float64
	nowhere                    int // horizons without depths
}

// Read reads the tables of a folder and returns the map units whose keys are wanted,
// all where want is nil, over the depth from top to bottom. What the tables leave open
// stands in the notes of the units, with the percent of the unit that it is; notes are of
// the tables as a whole. A property that is known of less than half of a unit is not known.
//
// Errors name file and line: a table or a column that is missing, a row that is cut, a key
// that is missing or is there twice, a number that cannot be, a horizon that ends above its
// top, percents of a map unit above 100 or below half of it.
func Read(dir string, top, bottom unit.Length, want map[string]bool) (byKey map[string]Unit, notes []string, err error) {
	if !(top >= 0 && bottom > top) {
		return nil, nil, fmt.Errorf("a depth from %s to %s is none; write where it begins and ends below the surface", top, bottom)
	}
	tables, err := find(dir)
	if err != nil {
		return nil, nil, err
	}
	units, err := readUnits(tables["mapunit"], want)
	if err != nil {
		return nil, nil, err
	}
	parts, owner, err := readComponents(tables["component"], units)
	if err != nil {
		return nil, nil, err
	}
	strays, err := readHorizons(tables["chorizon"], owner, 100*top.Metres(), 100*bottom.Metres())
	if err != nil {
		return nil, nil, err
	}
	if strays > 0 {
		notes = append(notes, fmt.Sprintf("%s: %d of its horizons belong to components that %s does not list and count for nothing: was one of the two cut?",
			filepath.Base(tables["chorizon"].path), strays, filepath.Base(tables["component"].path)))
	}
	byKey = make(map[string]Unit, len(units))
	for key, u := range units {
		if err := u.merge(parts[key], 100*(bottom-top).Metres(), tables["component"].path); err != nil {
			return nil, nil, err
		}
		byKey[key] = *u
	}
	return byKey, notes, nil
}

// keyed is a key of a row, which must be there and be its own.
func (t table) keyed(line int, row []string, column string, seen map[string]bool) (string, error) {
	key := t.text(row, column)
	what := ""
	switch {
	case key == "":
		what = "has no " + column
	case seen[key]:
		what = fmt.Sprintf("%s %s is there twice", column, key)
	default:
		seen[key] = true
		return key, nil
	}
	return "", &vector.InputError{File: t.path, Place: fmt.Sprintf("line %d", line), What: what, Fix: "download the survey area again"}
}

func readUnits(t table, want map[string]bool) (map[string]*Unit, error) {
	units, seen := map[string]*Unit{}, map[string]bool{}
	err := rows(t, func(line int, row []string) error {
		key, err := t.keyed(line, row, "mukey", seen)
		if err != nil {
			return err
		}
		if want == nil || want[key] {
			units[key] = &Unit{Key: key, Symbol: t.text(row, "musym"), Name: t.text(row, "muname")}
		}
		return nil
	})
	return units, err
}

// readComponents returns the components by unit and by their own key. Those of units that
// are not wanted are nil: horizons that belong to none at all are strays.
func readComponents(t table, units map[string]*Unit) (parts map[string][]*component, owner map[string]*component, err error) {
	parts, owner = map[string][]*component{}, map[string]*component{}
	seen := map[string]bool{}
	err = rows(t, func(line int, row []string) error {
		own, err := t.keyed(line, row, "cokey", seen)
		if err != nil {
			return err
		}
		owner[own] = nil
		key := t.text(row, "mukey")
		if key == "" {
			return &vector.InputError{File: t.path, Place: fmt.Sprintf("line %d", line), What: "has no mukey", Fix: "download the survey area again"}
		}
		if units[key] == nil {
			return nil
		}
		pct, ok, err := t.number(line, row, "comppct_r", 0, 100)
		if err != nil {
			return err
		}
		if !ok {
			units[key].Notes = append(units[key].Notes, fmt.Sprintf("component %s has no percent and is left out", t.text(row, "compname")))
			return nil
		}
		c := &component{
			name: t.text(row, "compname"), drainage: t.text(row, "drainagecl"), hydrologic: t.text(row, "hydgrp"), pct: pct,
			sum: make([][3]float64, len(properties)), thick: make([][3]float64, len(properties)),
		}
		parts[key] = append(parts[key], c)
		owner[own] = c
		return nil
	})
	return parts, owner, err
}
