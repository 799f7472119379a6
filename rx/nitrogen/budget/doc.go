// Package budget works nitrogen rates out as with a pencil on paper, by the published
// rules for expected yield, soil nitrate, organic matter and credits. Every rule is a
// pure function that returns its terms, each with its numbers and its source; the terms
// add up to the rate. Coefficients are cited constants that a caller can override.
//
// Guidance differs between states and changes with the years: each rule holds where and
// for what it was published, and says so in its notes where it is taken further.
package budget
