// Package asapplied reads the log of a machine and lines it up with what was
// prescribed: log, clean records, runs, swaths, coverage, reconciliation.
//
// # What is covered
//
// A record works when it is marked working (or has no such mark), some section is
// on, and its rate is absent or above zero. It holds from its time until the next
// record. The bar at a record is the segment of the working width through the
// bar's position, square to the heading (true north, clockwise). Between two
// records each maximal run of sections equal in state, rate and depth covers the
// quad between its two bar segments; a folded quad covers both its lobes.
//
// Nothing is covered across a gap: longer than the longest gap allowed, three
// median intervals unless the job says, or a step longer than the speed allows
// (twice the logged speed or three times the median one, and 2 m). Records whose
// bar tips moved less than 5 cm are merged into the bar before.
//
// A machine stands where for ten records and ten seconds, or for a hundred records,
// the middle of its bar or its logged position stays within 0.5 m, whichever way it
// faces. While it stands it covers ground only where its bar turns beyond where it
// has been: a pivot on the spot covers what it sweeps, once, and a heading that goes
// to and fro does not cover it again. Only a turn of more than 4 degrees beyond
// counts, for all bars of a turn on the spot cross one another; once the heading has
// stayed within 10 degrees as long, or come back, only one of more than 10. Records
// that cover nothing are merged, whatever their sections. Nitrogen is rate
// times the area of the quad, or measured flow times time, spread evenly over it;
// what a flow measured while the bar did not move on, or moved along itself over
// ground thinner than 1 mm, is put down standing.
//
// # Visits
//
// Each machine has an odometer: the way of the bar's middle over all its files in
// the order of time. Out of work and at a gap it jumps. For a spot, a new visit
// begins where a swath starts more than 1.6 full widths beyond the end of all
// before it. Two or more visits: doubled. One visit with several swaths, as on the
// inside of a tight turn: lapped. The resolution is one record's travel.
//
// Areas of all these are exact for the swaths so defined; package cover says how.
package asapplied
