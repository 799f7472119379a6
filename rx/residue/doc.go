// Package residue turns an index of residue in an image into the share of the ground that
// residue covers, by a straight line through places where the cover was counted.
//
// There is no equation that holds everywhere: what an index shows also depends on soil,
// moisture, plants and sensor, so that the line is fitted to counts of the same field and
// days. [Calibrate] takes the number of the pixel over each place and [Fit] fits
//
//	cover, percent = Intercept + Slope x index
//
// by least squares (any textbook of statistics). It says how far the line can be trusted:
// the standard error, R², what each place is off by when the line is fitted without it, and
// the range of the index that it has seen.
//
// Both refuse what would only look like an answer: too few places, an index or a cover that
// is the same everywhere, a slope that cannot be told from none, and a line that one place
// alone makes. [Calibration.Over] gives the mean cover of an area: of the pixels whose
// middle lies in it, each of the same weight, each held between 0 and 100 percent first.
package residue
