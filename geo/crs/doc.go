// Package crs knows the coordinate systems that field files come in: longitude
// and latitude, transverse Mercator (UTM and many State Plane zones), Lambert
// conformal conic (the other State Plane zones) and Web Mercator, both ways
// between a file's x, y and degrees.
//
// A system is named by well-known text ([ParseWKT]), by EPSG code ([FromEPSG])
// or by a name from a GeoJSON file ([ParseName]). Everything else is refused
// with its name and a remedy. No datum shift is ever applied: degrees stay on
// the datum that the file declares, which [CRS.Datum] tells.
package crs
