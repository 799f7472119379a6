// Package geo holds outlines in degrees, the plane of one field, and regions in
// metres with their overlay and buffers.
//
// Degrees come from files and have no area or length. Only a [Plane] turns them
// into metres, so an [Outline] has no method that measures it and a [Region]
// cannot be made without a plane.
package geo
