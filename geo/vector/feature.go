package vector

import (
	"strings"

	"ratewright/geo"
)

// Position says where a feature came from.
type Position struct {
	File   string // as the caller named it
	Record int    // record of a shapefile or feature of a GeoJSON file, from 1
}

// Attribute is one named value of a feature.
type Attribute struct {
	Name  string
	Value Value
}

// Feature is one outline with its attributes in the order of the file.
type Feature struct {
	Outline    geo.Outline
	Attributes []Attribute
	At         Position
}

// Get returns the value of the named attribute. The exact name goes first, then
// the name in another case of letters.
func (f Feature) Get(name string) (Value, bool) {
	for _, a := range f.Attributes {
		if a.Name == name {
			return a.Value, true
		}
	}
	for _, a := range f.Attributes {
		if strings.EqualFold(a.Name, name) {
			return a.Value, true
		}
	}
	return Value{}, false
}
