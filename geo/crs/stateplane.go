package crs

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"
	"sync"
)

// statePlaneText is the table of zones; its head says where the numbers come
// from.
//
//go:embed stateplane.txt
var statePlaneText string

// statePlaneDatums are the datums of the columns of codes.
var statePlaneDatums = [...]string{datumNAD83, "NAD83(HARN)", "NAD83(NSRS2007)", "NAD83(2011)"}

// statePlane gives the systems of the table by EPSG code; a zone whose method
// is not known is there with its refusal.
var statePlane = sync.OnceValue(func() map[int]zone {
	zones := map[int]zone{}
	for line := range strings.Lines(statePlaneText) {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		if err := addZones(zones, strings.Split(line, "|")); err != nil {
			panic(fmt.Sprintf("stateplane.txt: %q: %v", line, err)) // a fault of the program's own table
		}
	}
	return zones
})

// zone is one system of the table, or why it is refused.
type zone struct {
	crs    CRS
	refuse error
}

// addZones adds the systems of one row.
func addZones(zones map[int]zone, f []string) error {
	if len(f) != 8 {
		return fmt.Errorf("%d columns, not 8", len(f))
	}
	unit, ok := map[string]float64{"m": 1, "ft": 0.3048, "ftUS": usSurveyFoot}[f[6]]
	if !ok {
		return fmt.Errorf("unit %q", f[6])
	}
	proj, err := zoneProjection(f, unit)
	if err != nil {
		return err
	}
	codes := strings.Fields(f[7])
	if len(codes) != len(statePlaneDatums) {
		return fmt.Errorf("%d codes, not %d", len(codes), len(statePlaneDatums))
	}
	for i, s := range codes {
		if s == "-" {
			continue
		}
		code, err := strconv.Atoi(s)
		if err != nil {
			return err
		}
		if _, twice := zones[code]; twice {
			return fmt.Errorf("code %d appears twice", code)
		}
		name := statePlaneDatums[i] + " / " + f[0]
		if f[6] != "m" {
			name += " (" + f[6] + ")"
		}
		z := zone{crs: CRS{name: name, datum: statePlaneDatums[i], proj: proj, unit: unit, farOrigin: true}}
		if proj == nil {
			z.refuse = fmt.Errorf("EPSG:%d (%s) is an oblique Mercator projection, which is not known here; convert the file to WGS 84 (EPSG:4326) or to UTM", code, name)
		}
		zones[code] = z
	}
	return nil
}

// zoneProjection makes the projection of a row; nil for an oblique one.
func zoneProjection(f []string, unit float64) (projection, error) {
	if f[1] == "oblique" {
		return nil, nil
	}
	var v []float64 // lat0, lon0, parallels or scale, easting, northing
	for _, s := range strings.Fields(strings.Join(f[2:6], " ")) {
		x, err := parseDegreesMinutes(s)
		if err != nil {
			return nil, err
		}
		v = append(v, x)
	}
	switch {
	case f[1] == "lambert" && len(v) == 6:
		l := NewLambertConic(grs80, v[1], v[0], v[2], v[3], 1, v[4]*unit, v[5]*unit)
		return &l, nil
	case f[1] == "transverse" && len(v) == 5:
		t := NewTransverseMercator(grs80, v[1], v[0], v[2], v[3]*unit, v[4]*unit)
		return &t, nil
	}
	return nil, fmt.Errorf("method %q with %d numbers", f[1], len(v))
}

// parseDegreesMinutes reads -93:30 as -93.5; a plain number stays as it is.
func parseDegreesMinutes(s string) (float64, error) {
	d, m, both := strings.Cut(s, ":")
	deg, err := strconv.ParseFloat(d, 64)
	if err != nil || !both {
		return deg, err
	}
	minutes, err := strconv.ParseFloat(m, 64)
	if strings.HasPrefix(d, "-") {
		minutes = -minutes
	}
	return deg + minutes/60, err
}
