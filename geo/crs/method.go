package crs

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

// usSurveyFoot is the US survey foot in metres.
//
// Source: EPSG unit 9003; Federal Register 24-5348 (1959): 1200/3937 m.
const usSurveyFoot = 1200.0 / 3937

// parameters are the method of a projection and its numbers, in degrees and
// metres.
type parameters struct {
	method string // as the text names it
	value  map[string]float64
	given  map[string]bool
	sphere bool // an EXTENSION asks for Web Mercator's sphere
}

// parameterNames are the spellings of WKT 1 and WKT 2, folded by plainName.
var parameterNames = map[string]string{
	"latitudeoforigin":              "lat0",
	"latitudeofnaturalorigin":       "lat0",
	"latitudeoffalseorigin":         "lat0",
	"centralmeridian":               "lon0",
	"longitudeoforigin":             "lon0",
	"longitudeofnaturalorigin":      "lon0",
	"longitudeoffalseorigin":        "lon0",
	"standardparallel1":             "lat1",
	"latitudeof1ststandardparallel": "lat1",
	"standardparallel2":             "lat2",
	"latitudeof2ndstandardparallel": "lat2",
	"scalefactor":                   "k0",
	"scalefactoratnaturalorigin":    "k0",
	"ellipsoidscalingfactor":        "k0",
	"falseeasting":                  "fe",
	"eastingatfalseorigin":          "fe",
	"falsenorthing":                 "fn",
	"northingatfalseorigin":         "fn",
	"auxiliaryspheretype":           "sphere",
}

// methodNames are the spellings of the methods, folded by plainName.
var methodNames = map[string]string{
	"transversemercator":                 "transverse",
	"transversemercatorcomplex":          "transverse",
	"gausskruger":                        "transverse",
	"lambertconformalconic":              "lambert",
	"lambertconformalconic1sp":           "lambert1",
	"lambertconformalconic2sp":           "lambert2",
	"lambertconicconformal1sp":           "lambert1",
	"lambertconicconformal2sp":           "lambert2",
	"lambertconicconformal2spmichigan":   "lambert2",
	"mercatorauxiliarysphere":            "web",
	"popularvisualisationpseudomercator": "web",
	"mercator1sp":                        "mercator",
}

// parametersOf reads the method and its numbers; a number whose meaning is not
// known is an error.
func parametersOf(n *node, metres, degrees float64) (parameters, error) {
	p := parameters{value: map[string]float64{"k0": 1}, given: map[string]bool{}}
	holder := n
	m := n.kid("PROJECTION")
	if c := n.kid("CONVERSION", "DERIVINGCONVERSION"); c != nil {
		holder, m = c, c.kid("METHOD", "PROJECTION")
	}
	if m == nil {
		return p, errors.New("no projection method is given; name an EPSG code")
	}
	p.method = m.text()
	for _, k := range holder.kids {
		if k.name != "PARAMETER" {
			continue
		}
		key, ok := parameterNames[plainName(k.text())]
		if !ok && p.known() {
			return p, fmt.Errorf("the parameter %q of %s is not known here; convert the file to WGS 84 (EPSG:4326)", k.text(), p.method)
		}
		if len(k.nums) == 0 {
			return p, fmt.Errorf("the parameter %q has no number; correct it or name an EPSG code", k.text())
		}
		p.value[key] = k.nums[0] * parameterUnit(key, k, metres, degrees)
		p.given[key] = true
	}
	if e := n.kid("EXTENSION"); e != nil && len(e.texts) == 2 {
		p.sphere = strings.Contains(e.texts[1], "+a=6378137 +b=6378137")
	}
	return p, nil
}

// parameterUnit is the factor that turns a parameter into metres or degrees: its
// own unit in WKT 2, the system's in WKT 1.
func parameterUnit(key string, k *node, metres, degrees float64) float64 {
	switch key {
	case "fe", "fn":
		return unitOf(k, metres, "LENGTHUNIT", "UNIT")
	case "k0":
		return unitOf(k, 1, "SCALEUNIT", "UNIT")
	}
	f := unitOf(k, degrees*degree, "ANGLEUNIT", "UNIT") / degree
	if math.Abs(f-1) < 1e-9 {
		return 1
	}
	return f
}

func (p parameters) known() bool { return methodNames[plainName(p.method)] != "" }

// projection makes the formulas, after checking that every number is usable.
func (p parameters) projection(el Ellipsoid) (projection, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	v := p.value
	switch methodNames[plainName(p.method)] {
	case "transverse":
		if err := p.need("lon0"); err != nil {
			return nil, err
		}
		t := NewTransverseMercator(el, v["lon0"], v["lat0"], v["k0"], v["fe"], v["fn"])
		return &t, nil
	case "lambert":
		if p.given["lat1"] && p.given["lat2"] {
			return p.lambert(el, v["lat1"], v["lat2"])
		}
		if p.given["lat1"] {
			return p.lambert(el, v["lat1"], v["lat1"])
		}
		return p.lambert(el, v["lat0"], v["lat0"])
	case "lambert1":
		return p.lambert(el, v["lat0"], v["lat0"])
	case "lambert2":
		if err := p.need("lat1", "lat2"); err != nil {
			return nil, err
		}
		return p.lambert(el, v["lat1"], v["lat2"])
	case "web":
		return p.webMercator()
	case "mercator":
		if p.sphere {
			return p.webMercator()
		}
	}
	return nil, fmt.Errorf("the projection %q is not known here; convert the file to WGS 84 (EPSG:4326)", p.method)
}

// check refuses numbers that no projection has.
func (p parameters) check() error {
	for _, key := range []string{"lat0", "lon0", "lat1", "lat2", "k0", "fe", "fn"} {
		limit := map[string]float64{"lat0": 90, "lat1": 89, "lat2": 89, "lon0": 360, "k0": 2}[key]
		if limit == 0 {
			limit = 1e8
		}
		v := p.value[key]
		if !(math.Abs(v) <= limit) || key == "k0" && v < 0.5 {
			return fmt.Errorf("a parameter of %s is out of range (%s = %v); correct it or name an EPSG code", p.method, key, v)
		}
	}
	return nil
}

// need asks for parameters that have no default.
func (p parameters) need(keys ...string) error {
	for _, k := range keys {
		if !p.given[k] {
			return fmt.Errorf("a parameter of %s is missing (%s); add it or name an EPSG code", p.method, k)
		}
	}
	return nil
}

func (p parameters) lambert(el Ellipsoid, lat1, lat2 float64) (projection, error) {
	if err := p.need("lon0"); err != nil {
		return nil, err
	}
	v := p.value
	if math.Abs(lat1+lat2) < 1 || lat1*lat2 < 0 || math.Abs(v["lat0"]) > 89 {
		return nil, fmt.Errorf("standard parallels %v and %v with origin %v make no usable cone; correct them or name an EPSG code", lat1, lat2, v["lat0"])
	}
	l := NewLambertConic(el, v["lon0"], v["lat0"], lat1, lat2, v["k0"], v["fe"], v["fn"])
	return &l, nil
}

func (p parameters) webMercator() (projection, error) {
	v := p.value
	if v["lat0"] != 0 || v["lat1"] != 0 || v["sphere"] != 0 || v["k0"] != 1 {
		return nil, fmt.Errorf("this form of %s is not known here; convert the file to WGS 84 (EPSG:4326)", p.method)
	}
	return &webMercator{radiusM: wgs84Ellipsoid.A, lon0: v["lon0"], fe: v["fe"], fn: v["fn"]}, nil
}
