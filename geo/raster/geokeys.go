package raster

import (
	"fmt"
	"math"
	"strings"

	"ratewright/geo/crs"
	"ratewright/geo/vector"
)

// The keys that are looked at, and values of theirs. Source: OGC 19-008r4, annex B.
const (
	keyModel        = 1024
	keyRasterType   = 1025
	keyCitation     = 1026
	keyGeodetic     = 2048
	keyGeoCitation  = 2049
	keyAngularUnit  = 2054
	keyProjected    = 3072
	keyProjCitation = 3073
	keyLinearUnit   = 3076

	modelProjected  = 1
	modelGeographic = 2
	modelGeocentric = 3
	userDefined     = 32767
	pixelIsArea     = 1
	pixelIsPoint    = 2
	unitDegree      = 9102
	unitMetre       = 9001
	unitFoot        = 9002
	unitSurveyFoot  = 9003
)

// geoKeys are the keys of a file by number, and their texts.
type geoKeys struct {
	f     *file
	codes map[uint16]uint16
	texts map[uint16]string
}

func (d directory) geoKeys() (geoKeys, error) {
	k := geoKeys{f: d.f, codes: map[uint16]uint16{}, texts: map[uint16]string{}}
	words, err := d.whole(tagGeoKeys, 4+4*math.MaxUint16)
	if err != nil || words == nil {
		return k, err
	}
	text, err := d.text(tagGeoText)
	if err != nil {
		return k, err
	}
	broken := func(what string) error {
		return d.f.fault(tagPlace(tagGeoKeys), what, "export it again")
	}
	if len(words) < 4 || words[0] != 1 || words[1] != 1 {
		return k, broken("is of a version that is not known here")
	}
	if n := int(words[3]); len(words) < 4+4*n {
		return k, broken(fmt.Sprintf("names %d keys and has room for %d", n, (len(words)-4)/4))
	}
	for i := range int(words[3]) {
		key, in, count, value := uint16(words[4+4*i]), words[5+4*i], int(words[6+4*i]), int(words[7+4*i])
		if _, twice := k.codes[key]; twice || k.texts[key] != "" {
			return k, broken(fmt.Sprintf("key %d stands twice", key))
		}
		switch in {
		case 0:
			k.codes[key] = uint16(value)
		case tagGeoText:
			if value+count > len(text)+1 { // the NUL at its end was cut
				return k, broken(fmt.Sprintf("the text of key %d ends beyond the texts", key))
			}
			k.texts[key] = strings.Trim(text[min(value, len(text)):min(value+count, len(text))], "| \x00")
		}
	}
	return k, nil
}

// isPoint reports whether coordinates are those of the middle of a pixel.
func (k geoKeys) isPoint() (bool, error) {
	switch v, ok := k.codes[keyRasterType]; {
	case !ok || v == pixelIsArea:
		return false, nil
	case v == pixelIsPoint:
		return true, nil
	default:
		return false, k.fault(fmt.Sprintf("key %d (GTRasterType) is %d, neither PixelIsArea nor PixelIsPoint", keyRasterType, v), "export it again")
	}
}

func (k geoKeys) fault(what, fix string) error {
	return k.f.fault(tagPlace(tagGeoKeys), what, fix)
}

// system returns the coordinate system that the keys name; declared is false where they
// name none.
func (k geoKeys) system() (system crs.CRS, declared bool, err error) {
	model, key := k.codes[keyModel], uint16(keyProjected)
	switch {
	case model == modelProjected:
	case model == modelGeographic:
		key = keyGeodetic
	case model == modelGeocentric:
		return system, true, k.fault("its coordinates are geocentric", "convert it to WGS 84 (EPSG:4326) or UTM")
	case model != 0:
		return system, true, k.fault(fmt.Sprintf("key %d (GTModelType) is %d: a system of its own%s", keyModel, model, k.called()), "convert it to WGS 84 (EPSG:4326) or UTM")
	case k.codes[keyProjected] != 0:
	case k.codes[keyGeodetic] != 0:
		key = keyGeodetic
	default:
		return system, false, nil
	}
	code := k.codes[key]
	if code == 0 || code == userDefined {
		system, err = k.byName(key)
	} else {
		system, err = crs.FromEPSG(int(code))
		err = k.refuse(err)
	}
	if err == nil {
		err = k.checkUnit(system, key)
	}
	return system, true, err
}

// byName takes a system without a code by its name.
func (k geoKeys) byName(key uint16) (crs.CRS, error) {
	for _, text := range []uint16{keyProjCitation, keyGeoCitation, keyCitation} {
		if (text == keyProjCitation) != (key == keyProjected) && text != keyCitation {
			continue
		}
		system, err := crs.ParseName(k.texts[text])
		if err == nil && system.IsGeographic() == (key == keyGeodetic) {
			return system, nil
		}
	}
	return crs.CRS{}, k.fault("its coordinate system has no EPSG code"+k.called(), "convert it to WGS 84 (EPSG:4326) or UTM, with the code written")
}

// called gives the name of the system, if there is one.
func (k geoKeys) called() string {
	for _, key := range []uint16{keyProjCitation, keyCitation, keyGeoCitation} {
		if t := k.texts[key]; t != "" {
			return fmt.Sprintf(" (it is called %q)", short(t))
		}
	}
	return ""
}

// short cuts a text of a file for an error.
func short(text string) string {
	const most = 80
	if len(text) > most {
		return strings.ToValidUTF8(text[:most], "") + "…"
	}
	return text
}

// checkUnit refuses a unit of the file that is not the system's.
func (k geoKeys) checkUnit(system crs.CRS, key uint16) error {
	if unit, ok := k.codes[keyAngularUnit]; ok && key == keyGeodetic && unit != unitDegree {
		return k.fault(fmt.Sprintf("its coordinates are angles in unit %d, not in degrees (%d)", unit, unitDegree), "convert it to WGS 84 (EPSG:4326)")
	}
	unit, ok := k.codes[keyLinearUnit]
	if !ok || key != keyProjected {
		return nil
	}
	want := uint16(unitMetre)
	switch {
	case strings.HasSuffix(system.Name(), "(ft)"):
		want = unitFoot
	case strings.HasSuffix(system.Name(), "(ftUS)"):
		want = unitSurveyFoot
	}
	if unit != want {
		return k.fault(fmt.Sprintf("its coordinates are in unit %d, and %s is in unit %d (9001 metre, 9002 foot, 9003 US survey foot)", unit, system.Name(), want), "convert it to UTM")
	}
	return nil
}

// refuse makes an error of a lower floor one of the file. The remedy stands behind its
// last semicolon.
func (k geoKeys) refuse(err error) error {
	if err == nil {
		return nil
	}
	e := &vector.InputError{File: k.f.name, What: err.Error()}
	if i := strings.LastIndex(e.What, "; "); i >= 0 {
		e.What, e.Fix = "its coordinate system "+e.What[:i], e.What[i+2:]
	}
	return e
}
