package crs

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// epsgName matches EPSG:26915, urn:ogc:def:crs:EPSG::26915 (with or without a
// version) and http://www.opengis.net/def/crs/EPSG/0/26915.
var epsgName = regexp.MustCompile(`(?i)^(?:urn:(?:x-)?ogc:def:crs:epsg:[0-9.]*:|epsg:+|https?://www\.opengis\.net/def/crs/epsg/[0-9.]+/)([0-9]{4,6})$`)

// longitudeLatitudeName matches the OGC names of longitude and latitude.
var longitudeLatitudeName = regexp.MustCompile(`(?i)^(?:urn:(?:x-)?ogc:def:crs:ogc:[0-9.]*:|ogc:|https?://www\.opengis\.net/def/crs/ogc/[0-9.]+/)?(crs8[34])$`)

// ParseName reads the name of a coordinate system from the "crs" member of an
// older GeoJSON file or from a setting: "EPSG:26915",
// "urn:ogc:def:crs:EPSG::26915", "urn:ogc:def:crs:OGC:1.3:CRS84" or "WGS84".
// Coordinates stay x before y, whatever order the name formally stands for.
func ParseName(s string) (CRS, error) {
	s = strings.TrimSpace(s)
	if m := epsgName.FindStringSubmatch(s); m != nil {
		code, err := strconv.Atoi(m[1])
		if err != nil {
			return CRS{}, fmt.Errorf("coordinate system %q: %w", s, err)
		}
		return FromEPSG(code)
	}
	if m := longitudeLatitudeName.FindStringSubmatch(s); m != nil {
		if strings.EqualFold(m[1], "CRS83") {
			return FromEPSG(4269)
		}
		return WGS84(), nil
	}
	if k := plainName(s); k == "wgs84" || k == "wgs1984" {
		return WGS84(), nil
	}
	return CRS{}, fmt.Errorf("coordinate system %q is not a known name; write it as EPSG:26915, or convert the file to WGS 84 (EPSG:4326)", s)
}
