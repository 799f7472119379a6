package budget

// Further rules of states.
const (
	// districtBase is the constant term of the simplified rule of a district of Nebraska.
	//
	// Source: Natural resources district of Nebraska: 35 + 1.2 EY less credits, after Univ. of Nebraska EC117.
	// Range: 35.
	// Unit: lb N/ac.
	districtBase = 35

	// districtPerBushel is its nitrogen for each bushel.
	//
	// Source: Natural resources district of Nebraska: 35 + 1.2 EY less credits, after Univ. of Nebraska EC117.
	// Range: 1.2.
	// Unit: lb N per bu.
	districtPerBushel = 1.2

	// noTill is added in South Dakota without tillage.
	//
	// Source: South Dakota State Univ. EC750, from memory.
	// Range: 30.
	// Unit: lb N/ac.
	noTill = 30

	// recalibratedPerBushel is the nitrogen for each bushel of Penn State's recalibrated test.
	//
	// Source: White et al., Penn State (abstract; pp. 2600-2613): 12.9 kg N per Mg of grain.
	// Range: 0.72.
	// Unit: lb N per bu.
	recalibratedPerBushel = 0.7224

	// recalibratedPerPPM is what each ppm takes off in it where manure is put down for years.
	//
	// Source: White et al., Penn State (abstract; pp. 2600-2613): 5.7 kg/ha.
	// Range: 5.09.
	// Unit: lb N/ac per ppm.
	recalibratedPerPPM = 5.085

	// recalibratedCover is what a mixed cover crop adds in it.
	//
	// Source: White et al., Penn State (abstract; pp. 2600-2613): 56.2 kg/ha.
	// Range: 50.1.
	// Unit: lb N/ac.
	recalibratedCover = 50.14

	// nitrateMedium is the mean of the root zone taken for a medium or fine soil that was not sampled.
	//
	// Source: Univ. of Nebraska EC117, CropWatch 9 Jul 2019.
	// Range: 3.0.
	// Unit: ppm of nitrate-N.
	nitrateMedium = 3.0

	// nitrateSandy is that of a sandy soil.
	//
	// Source: Univ. of Nebraska EC117, CropWatch 9 Jul 2019.
	// Range: 1.5.
	// Unit: ppm of nitrate-N.
	nitrateSandy = 1.5

	// soybeanDakotas is the credit of soybean in the Dakotas.
	//
	// Source: North and South Dakota, from memory.
	// Range: 40.
	// Unit: lb N/ac.
	soybeanDakotas = 40

	// soybeanPerBushel is the credit of soybean by the old rule.
	//
	// Source: The old Corn Belt rule (second-hand, DTN 2016).
	// Range: 1.
	// Unit: lb N per bu of soybean.
	soybeanPerBushel = 1

	// alfalfaWisconsin is the credit of a good stand in Wisconsin on medium and fine soil.
	//
	// Source: Univ. of Wisconsin in Hay & Forage Grower (second-hand).
	// Range: 190.
	// Unit: lb N/ac.
	alfalfaWisconsin = 190

	// alfalfaWisconsinPlants is how many plants a good stand has more than.
	//
	// Source: Univ. of Wisconsin in Hay & Forage Grower (second-hand).
	// Range: 4.
	// Unit: plants per square foot.
	alfalfaWisconsinPlants = 4

	// alfalfaWisconsinRegrowth is the regrowth for all of that credit.
	//
	// Source: Univ. of Wisconsin in Hay & Forage Grower (second-hand).
	// Range: 8.
	// Unit: in.
	alfalfaWisconsinRegrowth = 8

	// alfalfaWisconsinLess is what less regrowth takes off.
	//
	// Source: Univ. of Wisconsin in Hay & Forage Grower (second-hand).
	// Range: 40.
	// Unit: lb N/ac.
	alfalfaWisconsinLess = 40

	// alfalfaNebraskaGood is the middle for a good stand in Nebraska.
	//
	// Source: Natural resources district of Nebraska: 80 to 120.
	// Range: 80 to 120.
	// Unit: lb N/ac.
	alfalfaNebraskaGood = 100

	// alfalfaNebraskaHalf is the middle for half a stand in Nebraska.
	//
	// Source: Natural resources district of Nebraska: 40 to 60.
	// Range: 40 to 60.
	// Unit: lb N/ac.
	alfalfaNebraskaHalf = 50

	// alfalfaKansas is the middle for Kansas.
	//
	// Source: Kansas in Hay & Forage Grower (second-hand): 100 to 140.
	// Range: 100 to 140.
	// Unit: lb N/ac.
	alfalfaKansas = 120

	// alfalfaIdaho is the middle for Idaho.
	//
	// Source: Idaho in Hay & Forage Grower (second-hand): 100 to 200.
	// Range: 100 to 200.
	// Unit: lb N/ac.
	alfalfaIdaho = 150

	// manureBeef is the nitrogen that corn has of a ton of beef feedlot manure in the first year.
	//
	// Source: Natural resources district of Nebraska: 4 to 6.
	// Range: 4 to 6.
	// Unit: lb N/ton.
	manureBeef = 5

	// manureBeefSecond is what is left of that for the second year.
	//
	// Source: Natural resources district of Nebraska: about half.
	// Range: 0.5.
	// Unit: share of the first year.
	manureBeefSecond = 0.5
)
