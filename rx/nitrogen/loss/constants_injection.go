package loss

// Anhydrous ammonia on the way into the ground. All of these can be set otherwise in Coefficients;
// Low and High end a name in the runs of low and high losses.
const (
	// injectionFine5 is the anhydrous ammonia lost at injection at 5 cm and
	// shallower, fine and medium soil.
	//
	// Source: Hanna, Boyd, Baker & Colvin 2004/2005 (Iowa State Univ., USDA-ARS), ends of its range given to depths by us.
	// Range: 0.03 to 0.07.
	// Unit: share.
	injectionFine5 = 0.07

	// injectionFine10 is the same at 10 cm.
	//
	// Source: Hanna, Boyd, Baker & Colvin 2004/2005 (Iowa State Univ., USDA-ARS), ends of its range given to depths by us.
	// Range: 0.03 to 0.07.
	// Unit: share.
	injectionFine10 = 0.03

	// injectionCoarse5 is the same at 5 cm, coarse soil.
	//
	// Source: Hanna, Boyd, Baker & Colvin 2004/2005 (Iowa State Univ., USDA-ARS), ends of its range given to depths by us.
	// Range: 0.21 to 0.52.
	// Unit: share.
	injectionCoarse5 = 0.52

	// injectionCoarse10 is the same at 10 cm, coarse soil.
	//
	// Source: Hanna, Boyd, Baker & Colvin 2004/2005 (Iowa State Univ., USDA-ARS), ends of its range given to depths by us.
	// Range: 0.21 to 0.52.
	// Unit: share.
	injectionCoarse10 = 0.21

	// injectionDeep is the same at 15 cm and deeper, every soil.
	//
	// Source: Hanna, Boyd, Baker & Colvin 2004/2005 (Iowa State Univ., USDA-ARS), ends of its range given to depths by us.
	// Range: 0.01 to 0.02.
	// Unit: share.
	injectionDeep = 0.015

	// injectionScale is times all of these.
	//
	// Source: our own: ± half of the value.
	// Range: 0.5 to 1.5.
	// Unit: none, a factor.
	injectionScale = 1

	// injectionScaleLow is injectionScale in the run of low losses.
	//
	// Source: as injectionScale.
	// Range: 0.5 to 1.5.
	// Unit: none, a factor.
	injectionScaleLow = 0.5

	// injectionScaleHigh is injectionScale in the run of high losses.
	//
	// Source: as injectionScale.
	// Range: 0.5 to 1.5.
	// Unit: none, a factor.
	injectionScaleHigh = 1.5
)
