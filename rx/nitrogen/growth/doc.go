// Package growth tells how far corn is from its warmth: degree days from daily
// temperatures, the growth stage by one of several published models, and how much of
// the season's nitrogen the crop has taken up by then, as a band.
//
// Degree days are in °F by the 86/50 method, as every published table of stages
// counts them; temperatures come in as °C. The models of stages disagree, so several
// are asked and their spread is told.
//
// Each constant states its source, range and unit, and each can be set otherwise: a
// Method, a Model and a Band are plain values.
package growth
