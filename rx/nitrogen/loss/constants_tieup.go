package loss

// Held by residue. All of these can be set otherwise in Coefficients;
// Low and High end a name in the runs of low and high losses.
const (
	// tieUpScale is times what residue holds.
	//
	// Source: our own: right within a factor of two.
	// Range: 0.5 to 2.
	// Unit: none, a factor.
	tieUpScale = 1

	// tieUpScaleLow is tieUpScale in the run of low losses.
	//
	// Source: as tieUpScale.
	// Range: 0.5 to 2.
	// Unit: none, a factor.
	tieUpScaleLow = 0.5

	// tieUpScaleHigh is tieUpScale in the run of high losses.
	//
	// Source: as tieUpScale.
	// Range: 0.5 to 2.
	// Unit: none, a factor.
	tieUpScaleHigh = 2

	// tieUpBroadcast is the part of the residue's demand that broadcast nitrogen
	// meets.
	//
	// Source: judgement; Maddux et al. 1991, SSSAJ 55: 14 to 58 % more was immobilized broadcast than banded.
	// Range: 0.3 to 0.7.
	// Unit: share.
	tieUpBroadcast = 0.5

	// tieUpBand is the same for bands on the surface.
	//
	// Source: judgement.
	// Range: 0.15 to 0.4.
	// Unit: share.
	tieUpBand = 0.25

	// tieUpBelow is the same for what lies below the residue.
	//
	// Source: judgement.
	// Range: 0 to 0.2.
	// Unit: share.
	tieUpBelow = 0.1

	// decomposed is the part of the residue that decomposes by V8.
	//
	// Source: judgement.
	// Range: 0.15 to 0.4.
	// Unit: share.
	decomposed = 0.25

	// microbesNeed is the nitrogen that microbes need to decompose residue.
	//
	// Source: CERES and PAPRAN models, from memory.
	// Range: 0.015 to 0.025.
	// Unit: kg N per kg of residue.
	microbesNeed = 0.02

	// residueHolds is the nitrogen in corn stover.
	//
	// Source: Univ. of Delaware: C to N 57, at 45 % carbon.
	// Range: 0.006 to 0.01.
	// Unit: kg N per kg of residue.
	residueHolds = 0.0079

	// coverPerMass is how cover rises with residue: cover is 1 less exp(-this
	// times Mg/ha).
	//
	// Source: Gregory 1982, corn, from memory.
	// Range: 0.35 to 0.45.
	// Unit: ha/Mg.
	coverPerMass = 0.4

	// tieUpDays is the days over which residue takes it.
	//
	// Source: judgement: the days to about V8.
	// Range: 30 to 60.
	// Unit: days.
	tieUpDays = 40
)
