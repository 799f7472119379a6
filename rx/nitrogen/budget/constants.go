package budget

// Bounds beyond which a number is a slip and no measurement.
const (
	// mostYield is above any corn yield of a field.
	//
	// Source: common practice; record yields of plots lie above 600 bu/ac.
	// Range: 400 to 700.
	// Unit: bu/ac.
	mostYield = 700

	// leastYield is below any yield of corn that is worth a rate.
	//
	// Source: common practice; unfertilised corn yields 60 bu/ac in Iowa (CROP 3073), dryland corn 30 or more.
	// Range: 15 to 30.
	// Unit: bu/ac.
	leastYield = 20

	// mostPPM is above what soil holds as nitrate-N.
	//
	// Source: common practice; above 100 ppm a sample took up a band of fertiliser.
	// Range: 100 to 300.
	// Unit: ppm of nitrate-N.
	mostPPM = 300

	// mostHeight is above any corn.
	//
	// Source: common practice.
	// Range: 150 to 200.
	// Unit: in.
	mostHeight = 200

	// mostBase is above any rate of nitrogen to corn.
	//
	// Source: common practice.
	// Range: 300 to 400.
	// Unit: lb N/ac.
	mostBase = 400

	// leastOM is below the organic matter of any soil of a field.
	//
	// Source: common practice.
	// Range: 0.05 to 0.3.
	// Unit: percent.
	leastOM = 0.1

	// mostOM is above the organic matter of a mineral soil.
	//
	// Source: USDA soil taxonomy: mineral soils have less than some 20 % of organic matter.
	// Range: 15 to 25.
	// Unit: percent.
	mostOM = 20
)

// Nitrogen for each bushel of expected yield.
const (
	// stanfordPerBushel is the yield-goal factor of Stanford and the old Corn Belt rule.
	//
	// Source: Stanford 1966, 1973; history in Rodriguez, Bullock & Boerngen 2019, Agron. J.
	// Range: 1.0 to 1.2.
	// Unit: lb N per bu.
	stanfordPerBushel = 1.2

	// pennStatePerBushel is that of the Penn State Agronomy Guide.
	//
	// Source: Penn State Agronomy Guide, table 1.2-5.
	// Range: 1.0 to 1.1.
	// Unit: lb N per bu.
	pennStatePerBushel = 1.0

	// southDakotaPerBushel is that of South Dakota State University since 2023.
	//
	// Source: South Dakota State Univ. 2023, after 45 trials of 2018 to 2022 (second-hand).
	// Range: 1.0 to 1.2 (before 2023).
	// Unit: lb N per bu.
	southDakotaPerBushel = 1.0

	// expectedOver is by how much expected yield passes the mean of five years.
	//
	// Source: Univ. of Nebraska as quoted by a natural resources district; Colorado State Univ. fact sheet 0.538 (Davis & Westfall 2014).
	// Range: 0.05.
	// Unit: share of the mean.
	expectedOver = 0.05
)

// The soil nitrate tests in season.
const (
	// iowaPerPPM is the rate for each ppm below the critical level.
	//
	// Source: Iowa State Univ. PM 1714 and CROP 3140 (second-hand, Farm Progress 2004).
	// Range: 8.
	// Unit: lb N/ac per ppm.
	iowaPerPPM = 8

	// iowaCritical is the level at which the soil has enough.
	//
	// Source: Iowa State Univ. PM 1714 (second-hand); 20 to 22 after rain of 20 % above normal, about 15 on manured fields in a wet spring.
	// Range: 15 to 25.
	// Unit: ppm of nitrate-N in the top foot.
	iowaCritical = 25

	// iowaCap is the most that the test gives.
	//
	// Source: Iowa State Univ. PM 1714, from memory.
	// Range: 90.
	// Unit: lb N/ac.
	iowaCap = 90

	// iowaManured is the level on manured fields in a wet spring.
	//
	// Source: Iowa State Univ. PM 1714 (second-hand, Farm Progress 2004).
	// Range: about 15.
	// Unit: ppm of nitrate-N in the top foot.
	iowaManured = 15

	// pennCritical is the level at which Penn State's test asks for none.
	//
	// Source: Penn State Agronomy Guide, table 1.4-4.
	// Range: 21.
	// Unit: ppm of nitrate-N in the top foot.
	pennCritical = 21

	// pennPerBushel is its nitrogen for each bushel.
	//
	// Source: Penn State Agronomy Guide, table 1.4-4.
	// Range: 1.1.
	// Unit: lb N per bu.
	pennPerBushel = 1.1

	// pennNoManure is the history factor without manure since the last harvest.
	//
	// Source: Penn State Agronomy Guide, table 1.4-4.
	// Range: 0.75.
	// Unit: lb N/ac per ppm.
	pennNoManure = 0.75

	// pennManure is the history factor with manure since the last harvest.
	//
	// Source: Penn State Agronomy Guide, table 1.4-4.
	// Range: 3.5.
	// Unit: lb N/ac per ppm.
	pennManure = 3.5

	// pennEarlierManure is added for manure in the three years before.
	//
	// Source: Penn State Agronomy Guide, table 1.4-4.
	// Range: 1.75.
	// Unit: lb N/ac per ppm.
	pennEarlierManure = 1.75

	// pennSoybean is added after soybean.
	//
	// Source: Penn State Agronomy Guide, table 1.4-4.
	// Range: 1.
	// Unit: lb N/ac per ppm.
	pennSoybean = 1

	// pennForage is added after a forage legume.
	//
	// Source: Penn State Agronomy Guide, table 1.4-4.
	// Range: 3.5.
	// Unit: lb N/ac per ppm.
	pennForage = 3.5

	// illinoisPerPPM is by how much each ppm lowers the rate.
	//
	// Source: Nafziger, Univ. of Illinois (second-hand).
	// Range: 4.
	// Unit: lb N/ac per ppm in the top foot.
	illinoisPerPPM = 4

	// illinoisFrom is the test below which the rate is left as it is.
	//
	// Source: Nafziger, Univ. of Illinois (second-hand).
	// Range: 10.
	// Unit: ppm of nitrate-N.
	illinoisFrom = 10

	// testShortest is the height of corn from which the tests in season hold.
	//
	// Source: Iowa State Univ. PM 1714 (second-hand).
	// Range: 6.
	// Unit: in.
	testShortest = 6

	// testTallest is the height up to which they hold.
	//
	// Source: Iowa State Univ. PM 1714 (second-hand).
	// Range: 12.
	// Unit: in.
	testTallest = 12
)

// The classes of Ohio State's test in season.
const (
	// ohioNone is the test up to which the rate is left as it is.
	//
	// Source: Ohio State Univ. 2022 (second-hand, farms.com).
	// Range: 10.
	// Unit: ppm of nitrate-N.
	ohioNone = 10

	// ohioLow is the upper end of the class above it.
	//
	// Source: Ohio State Univ. 2022 (second-hand, farms.com).
	// Range: 15.
	// Unit: ppm of nitrate-N.
	ohioLow = 15

	// ohioLowOff is what that class takes off.
	//
	// Source: Ohio State Univ. 2022 (second-hand, farms.com).
	// Range: 30.
	// Unit: lb N/ac.
	ohioLowOff = 30

	// ohioMiddle is the upper end of the next class.
	//
	// Source: Ohio State Univ. 2022 (second-hand, farms.com).
	// Range: 20.
	// Unit: ppm of nitrate-N.
	ohioMiddle = 20

	// ohioMiddleOff is what that class takes off.
	//
	// Source: Ohio State Univ. 2022 (second-hand, farms.com).
	// Range: 45.
	// Unit: lb N/ac.
	ohioMiddleOff = 45

	// ohioHigh is the upper end of the last class; above it no nitrogen is needed.
	//
	// Source: Ohio State Univ. 2022 (second-hand, farms.com).
	// Range: 25.
	// Unit: ppm of nitrate-N.
	ohioHigh = 25

	// ohioHighOff is what that class takes off.
	//
	// Source: Ohio State Univ. 2022 (second-hand, farms.com).
	// Range: 90.
	// Unit: lb N/ac.
	ohioHighOff = 90
)

// The yield, organic matter and nitrate rule.
const (
	// omBase is its constant term.
	//
	// Source: Univ. of Nebraska EC117 as quoted by J. Rees 2021; Shapiro et al. 2009 (34 trials 2002-04).
	// Range: 35.
	// Unit: lb N/ac.
	omBase = 35

	// omPerBushel is its nitrogen for each bushel.
	//
	// Source: Univ. of Nebraska EC117 as quoted by J. Rees 2021.
	// Range: 1.2.
	// Unit: lb N per bu.
	omPerBushel = 1.2

	// omPerPPM is what each ppm of mean nitrate-N in the root zone takes off.
	//
	// Source: Univ. of Nebraska EC117 as quoted by J. Rees 2021.
	// Range: 8.
	// Unit: lb N/ac per ppm.
	omPerPPM = 8

	// omPerBushelPercent is what organic matter takes off, for each bushel and percent.
	//
	// Source: Univ. of Nebraska EC117 as quoted by J. Rees 2021.
	// Range: 0.14.
	// Unit: lb N per bu and percent.
	omPerBushelPercent = 0.14

	// omLeast is the least organic matter that counts.
	//
	// Source: Univ. of Nebraska EC117 as quoted by J. Rees 2021.
	// Range: 0.5.
	// Unit: percent.
	omLeast = 0.5

	// omMost is the most organic matter that counts.
	//
	// Source: Univ. of Nebraska EC117 as quoted by J. Rees 2021.
	// Range: 3.
	// Unit: percent.
	omMost = 3
)

// Nitrate before planting.
const (
	// lbPerPPMInch turns ppm of nitrate-N in a layer into a mass, at a usual bulk density.
	//
	// Source: Univ. of Nebraska, from memory; 2 lb per ppm in 6 to 7 in and 4 in a foot (Nafziger) make 11 % more.
	// Range: 0.3 to 0.333.
	// Unit: lb N/ac per ppm and inch.
	lbPerPPMInch = 0.3

	// leastDepth is the depth to which soil is sampled at least.
	//
	// Source: Univ. of Nebraska EC117, CropWatch 9 Jul 2019.
	// Range: 24 to 48.
	// Unit: in.
	leastDepth = 24

	// deepEnough is the depth to which soil is sampled where much nitrate is found.
	//
	// Source: Univ. of Nebraska EC117, CropWatch 9 Jul 2019.
	// Range: 48.
	// Unit: in.
	deepEnough = 48

	// slack is how far a depth may miss a whole foot by rounding of its unit.
	//
	// Source: arithmetic: 60 cm are 23.6 in and stand for 2 ft, 120 cm are 47.2 and stand for 4 ft.
	// Range: 0.8 to 1.
	// Unit: in.
	slack = 1

	// mostBackground is above what soil has in any year.
	//
	// Source: common practice; Wisconsin takes 50, from memory.
	// Range: 50 to 100.
	// Unit: lb N/ac.
	mostBackground = 100

	// deepNote is the mean in two feet above which deeper samples are asked for.
	//
	// Source: Univ. of Nebraska EC117, CropWatch 9 Jul 2019.
	// Range: 15.
	// Unit: ppm of nitrate-N.
	deepNote = 15
)

// Credits.
const (
	// soybeanCredit is that of soybean on medium and fine soils.
	//
	// Source: Univ. of Nebraska EC117, from memory.
	// Range: 35 to 45; Dakotas 40 (from memory).
	// Unit: lb N/ac.
	soybeanCredit = 45

	// soybeanSandyCredit is that on sandy soils.
	//
	// Source: Univ. of Nebraska EC117, from memory.
	// Range: 35.
	// Unit: lb N/ac.
	soybeanSandyCredit = 35

	// soybeanLow is the soybean yield below which the credit is a pound a bushel.
	//
	// Source: Univ. of Nebraska EC117, from memory.
	// Range: 30.
	// Unit: bu/ac of soybean.
	soybeanLow = 30

	// dryBeanCredit is that of dry bean.
	//
	// Source: Univ. of Nebraska as quoted by a natural resources district.
	// Range: 40.
	// Unit: lb N/ac.
	dryBeanCredit = 40

	// alfalfaGood is the credit of a good stand in the first year of corn.
	//
	// Source: Yost et al., Univ. of Minnesota, in Hay & Forage Grower (second-hand): 30 left of 180.
	// Range: 80 to 190 between states; Nebraska 80 to 120, Wisconsin 190.
	// Unit: lb N/ac.
	alfalfaGood = 150

	// alfalfaFair is that of a fair stand.
	//
	// Source: Yost et al., Univ. of Minnesota, in Hay & Forage Grower (second-hand): 80 left of 180.
	// Range: 40 to 100 between states.
	// Unit: lb N/ac.
	alfalfaFair = 100

	// alfalfaPoor is that of a poor stand.
	//
	// Source: Yost et al., Univ. of Minnesota, in Hay & Forage Grower (second-hand): 130 left of 180.
	// Range: 0 to 50 between states.
	// Unit: lb N/ac.
	alfalfaPoor = 50

	// alfalfaSecond is the share of the credit that is left for the second year of corn.
	//
	// Source: Univ. of Minnesota in Hay & Forage Grower (second-hand): 75 of 150.
	// Range: 0.5.
	// Unit: share.
	alfalfaSecond = 0.5

	// waterLbPerPPMInch is nitrogen in an inch of water for each ppm of nitrate-N.
	//
	// Source: arithmetic: 27,154 gal an acre-inch x 8.345 lb/gal / 1e6; Univ. of California ANR 0.227, Colorado 0.23.
	// Range: 0.2265 to 0.23.
	// Unit: lb N/ac per ppm and inch.
	waterLbPerPPMInch = 0.2266

	// nitrateN is the nitrogen in nitrate.
	//
	// Source: atomic weights: 14.007 / 62.004; Univ. of California 0.225.
	// Range: 0.2259.
	// Unit: share of mass.
	nitrateN = 0.2259
)
