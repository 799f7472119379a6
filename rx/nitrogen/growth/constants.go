package growth

// The count of warmth and the stages by it. The models disagree; see Stages.
const (
	// capF is the temperature above which more warmth does not count.
	//
	// Source: Purdue Pest & Crop newsletter (86/50 method).
	// Range: 86.
	// Unit: °F.
	capF = 86

	// floorF is the temperature below which there is no growth to count.
	//
	// Source: Purdue Pest & Crop newsletter (86/50 method).
	// Range: 50.
	// Unit: °F.
	floorF = 50

	// emergenceLowF is the warmth from planting to emergence in a warm, moist
	// seedbed.
	//
	// Source: Nielsen, Purdue Univ.
	// Range: 100 to 120.
	// Unit: °F degree days (86/50) from planting.
	emergenceLowF = 100

	// emergenceHighF is the warmth from planting to emergence, upper end.
	//
	// Source: Nielsen, Purdue Univ.
	// Range: 100 to 120.
	// Unit: °F degree days (86/50) from planting.
	emergenceHighF = 120

	// purdueEarlyF is the warmth a leaf collar takes up to the switching leaf.
	//
	// Source: Nielsen, Purdue Univ., after Wuethrich 1997.
	// Range: 82 to 85.
	// Unit: °F degree days (86/50) per leaf.
	purdueEarlyF = 82

	// purdueLateF is the warmth a leaf collar takes after the switching leaf.
	//
	// Source: Nielsen, Purdue Univ., after Wuethrich 1997.
	// Range: 50 to 56.
	// Unit: °F degree days (86/50) per leaf.
	purdueLateF = 50

	// iowaEarlyF is the warmth a leaf collar takes up to the switching leaf.
	//
	// Source: Abendroth et al. 2011, Iowa State Univ. PMR 1009, as quoted by Thomison, Ohio State Univ.
	// Range: 82 to 84.
	// Unit: °F degree days (86/50) per leaf.
	iowaEarlyF = 84

	// iowaLateF is the warmth a leaf collar takes after the switching leaf.
	//
	// Source: Abendroth et al. 2011, Iowa State Univ. PMR 1009, as quoted by Thomison, Ohio State Univ.
	// Range: 50 to 56.
	// Unit: °F degree days (86/50) per leaf.
	iowaLateF = 56

	// switchLeaf is the leaf after which collars follow one another faster.
	//
	// Source: Nielsen, Purdue Univ., after Wuethrich 1997.
	// Range: 10.
	// Unit: leaf collars.
	switchLeaf = 10

	// delawareV6F is the warmth to V6.
	//
	// Source: table of stages by degree days published for Delaware.
	// Range: none given.
	// Unit: °F degree days (86/50) from planting.
	delawareV6F = 475

	// delawareV12F is the warmth to V12.
	//
	// Source: table of stages by degree days published for Delaware.
	// Range: none given; 1,040 by Purdue's collars.
	// Unit: °F degree days (86/50) from planting.
	delawareV12F = 870

	// delawareVTF is the warmth to tassel.
	//
	// Source: table of stages by degree days published for Delaware.
	// Range: none given.
	// Unit: °F degree days (86/50) from planting.
	delawareVTF = 1135

	// delawareR1F is the warmth to silking.
	//
	// Source: table of stages by degree days published for Delaware.
	// Range: none given.
	// Unit: °F degree days (86/50) from planting.
	delawareR1F = 1400

	// delawareR6F is the warmth to maturity.
	//
	// Source: table of stages by degree days published for Delaware.
	// Range: none given.
	// Unit: °F degree days (86/50) from planting.
	delawareR6F = 2700

	// wisconsinV8F is the warmth to V8.
	//
	// Source: table of stages by degree days published for Wisconsin, hybrids of 95 to 105 days planted about 15 May.
	// Range: none given.
	// Unit: °F degree days (86/50) from planting.
	wisconsinV8F = 600

	// wisconsinV13F is the warmth to V13.
	//
	// Source: table of stages by degree days published for Wisconsin, hybrids of 95 to 105 days planted about 15 May.
	// Range: none given.
	// Unit: °F degree days (86/50) from planting.
	wisconsinV13F = 900

	// wisconsinVTF is the warmth to tassel.
	//
	// Source: table of stages by degree days published for Wisconsin, hybrids of 95 to 105 days planted about 15 May.
	// Range: none given.
	// Unit: °F degree days (86/50) from planting.
	wisconsinVTF = 1200

	// wisconsinR6LowF is the warmth to maturity, lower end.
	//
	// Source: table of stages by degree days published for Wisconsin, hybrids of 95 to 105 days planted about 15 May.
	// Range: 2400 to 2600.
	// Unit: °F degree days (86/50) from planting.
	wisconsinR6LowF = 2400

	// wisconsinR6HighF is the warmth to maturity, upper end.
	//
	// Source: table of stages by degree days published for Wisconsin, hybrids of 95 to 105 days planted about 15 May.
	// Range: 2400 to 2600.
	// Unit: °F degree days (86/50) from planting.
	wisconsinR6HighF = 2600
)

// The stages that a Delaware or Wisconsin table names.
const (
	// delawareEarly is the first stage of the Delaware table.
	//
	// Source: table of stages by degree days published for Delaware.
	// Range: V6.
	// Unit: leaf collars.
	delawareEarly = 6

	// delawareLate is its second stage.
	//
	// Source: table of stages by degree days published for Delaware.
	// Range: V12.
	// Unit: leaf collars.
	delawareLate = 12

	// wisconsinEarly is the first stage of the Wisconsin table.
	//
	// Source: table of stages by degree days published for Wisconsin, hybrids of 95 to 105 days planted about 15 May.
	// Range: V8.
	// Unit: leaf collars.
	wisconsinEarly = 8

	// wisconsinLate is its second stage.
	//
	// Source: table of stages by degree days published for Wisconsin, hybrids of 95 to 105 days planted about 15 May.
	// Range: V13.
	// Unit: leaf collars.
	wisconsinLate = 13

	// finalLeaf is the number of leaf collars at which the plant tassels, on the
	// scale of Stage.
	//
	// Source: common practice, from memory; it moves with hybrid and place.
	// Range: 16 to 22.
	// Unit: leaf collars.
	finalLeaf = 20
)

// The nitrogen taken up by a stage. "All" is what the crop holds at maturity (R6).
const (
	// v4Low is the share taken up by V4, lower end.
	//
	// Source: from memory, not verified.
	// Range: 2 to 3.
	// Unit: percent of all.
	v4Low = 2

	// v4High is the share taken up by V4, upper end.
	//
	// Source: from memory, not verified.
	// Range: 2 to 3.
	// Unit: percent of all.
	v4High = 3

	// v6Low is the share taken up by V6, lower end.
	//
	// Source: up to some 11 % of all nutrients by V6 (seed-company agronomy pages, supporting); little N before V6 (Karlen et al. 1987 via CDFA-FREP).
	// Range: 5 to 11.
	// Unit: percent of all.
	v6Low = 5

	// v6High is the share taken up by V6, upper end.
	//
	// Source: as v6Low.
	// Range: 5 to 11.
	// Unit: percent of all.
	v6High = 11

	// v8Low is the share taken up by V8, lower end.
	//
	// Source: from memory, not verified.
	// Range: 15 to 22.
	// Unit: percent of all.
	v8Low = 15

	// v8High is the share taken up by V8, upper end.
	//
	// Source: from memory, not verified.
	// Range: 15 to 22.
	// Unit: percent of all.
	v8High = 22

	// v10Low is the share taken up by V10, lower end.
	//
	// Source: V14 less ten days of 8.8 kg/ha/d of 286 kg/ha (Bender et al. 2013, Agron. J. 105:161-170), 31 points.
	// Range: 30 to 37.
	// Unit: percent of all.
	v10Low = 30

	// v10High is the share taken up by V10, upper end.
	//
	// Source: V14 less ten days of 8.8 kg/ha/d of 286 kg/ha (Bender et al. 2013, Agron. J. 105:161-170), 31 points.
	// Range: 30 to 37.
	// Unit: percent of all.
	v10High = 37

	// v14Low is the share taken up by V14, lower end.
	//
	// Source: about two thirds by V14 (seed-company agronomy pages, supporting).
	// Range: 60 to 67.
	// Unit: percent of all.
	v14Low = 60

	// v14High is the share taken up by V14, upper end.
	//
	// Source: about two thirds by V14 (seed-company agronomy pages, supporting).
	// Range: 60 to 67.
	// Unit: percent of all.
	v14High = 67

	// silkLow is the share taken up by VT and by R1, lower end.
	//
	// Source: 65 % by R1 (news summary of Bender et al. 2013, Agron. J. 105:161-170) and 63 % by R1, 70 % by VT (seed-company agronomy pages).
	// Range: 63 to 70; 60 to 90 by what is taken up after silking (Karlen et al. 1987 via CDFA-FREP).
	// Unit: percent of all.
	silkLow = 63

	// silkHigh is the share taken up by VT and by R1, upper end.
	//
	// Source: 65 % by R1 (news summary of Bender et al. 2013, Agron. J. 105:161-170) and 63 % by R1, 70 % by VT (seed-company agronomy pages).
	// Range: as silkLow.
	// Unit: percent of all.
	silkHigh = 70

	// r2Share is the share taken up by R2, middle.
	//
	// Source: from memory, not verified.
	// Range: plus or minus lateSpread.
	// Unit: percent of all.
	r2Share = 75

	// r4Share is the share taken up by R4, middle.
	//
	// Source: from memory, not verified.
	// Range: plus or minus lateSpread.
	// Unit: percent of all.
	r4Share = 85

	// lateSpread is how far the band reaches from the middle at R2 and R4.
	//
	// Source: our own: half the width of the band at VT, for one figure alone is known there.
	// Range: 0 to 3.5.
	// Unit: percent of all.
	lateSpread = 3.5

	// allTakenUp is the share taken up by R6.
	//
	// Source: by definition.
	// Range: 100.
	// Unit: percent of all.
	allTakenUp = 100
)
