// Package rx turns a field, its zones and one planned application into a
// prescription, and the prescription into a rate map that a controller will
// accept.
//
// A [Field] is one boundary less its cut-outs and setbacks. A [Zone] is a part
// of the field with attributes and no rate. An [Application] is one trip of one
// source. [Prescribe] gives every zone its N rate, its product rate and the
// reasons for them; zero is a rate. [Prescription.RateMap] writes the same as
// polygons in degrees, and [CheckRateMap] says what a controller would refuse.
//
// Areas are square metres in the field's plane, N rates kg N/ha, product rates
// kg of product per hectare. The package never prints, logs, exits or reads the
// clock: what the user must know travels in Notes.
package rx
