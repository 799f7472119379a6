package guard

// Anhydrous ammonia: how deep, how near to the seed, how soon before planting.
const (
	// depthFine is the depth asked of ammonia in fine and medium soil at the right moisture.
	//
	// Source: Univ. of Illinois Extension (Fernández): about 6 in on fine soils at 15 to 20 % moisture.
	// Range: 6 to 8.
	// Unit: in.
	depthFine = 6

	// depthCoarse is the depth asked of ammonia in coarse soil at the right moisture.
	//
	// Source: Univ. of Illinois Extension (Fernández): about 8 in on coarse soils.
	// Range: 8 to 10.
	// Unit: in.
	depthCoarse = 8

	// depthDry is the depth asked of ammonia in dry soil.
	//
	// Source: Texas A&M AgriLife Extension: at least 8 in in dry soil; Iowa State Univ.: 7 to 8 in, and more when dry.
	// Range: 8 to 10.
	// Unit: in.
	depthDry = 8

	// depthAbout is by how much a depth may fall short of what is asked and still count:
	// the figures are about so many inches, and 15 and 20 cm are those of metric practice.
	//
	// Source: our own: 8 in is 20.3 cm.
	// Range: 0.1 to 0.5.
	// Unit: cm.
	depthAbout = 0.35

	// depthFloor is the depth below which practice does not go in a wet spring.
	//
	// Source: common practice; deeper is better wherever the slot closes.
	// Range: 5 to 6.
	// Unit: in.
	depthFloor = 5

	// depthSafe is the depth that largely prevented injury at all rates and times.
	//
	// Source: Colliver & Welch 1970, Agron. J. 62.
	// Range: 25.
	// Unit: cm.
	depthSafe = 25

	// zoneRadius is how far the ammonia spreads from the knife in the first day.
	//
	// Source: Iowa State Univ.: 2.5 to 3 in.
	// Range: 2.5 to 4; Michigan State 1 to 2.5, Univ. of Missouri 4; more in dry or coarse soil.
	// Unit: in.
	zoneRadius = 2.5

	// soilDensity is the bulk density that turns ammonia in a band into ppm.
	//
	// Source: common practice for plough layers.
	// Range: 1100 to 1500.
	// Unit: kg/m3.
	soilDensity = 1300

	// reach is the distance of seed and band at which ammonia is taken to reach the seed.
	//
	// Source: Univ. of Missouri: ammonia within some 4 in of the knife.
	// Range: 2.5 to 4.
	// Unit: in.
	reach = 4

	// seedDepth is how deep corn is planted.
	//
	// Source: Colliver & Welch 1970, Agron. J. 62 (5 cm).
	// Range: 3.8 to 6.4.
	// Unit: cm.
	seedDepth = 5

	// notePPM is the mean of the band from which a note is due; its core is well above the mean.
	//
	// Source: our own: three quarters of germinationPPM.
	// Range: 500 to 944.
	// Unit: mg N/kg.
	notePPM = 700

	// warnPPM is the ammonia near the seed above which stands were lost in the field.
	//
	// Source: Colliver & Welch 1970, Agron. J. 62 (about 1,000).
	// Range: 944 to 1172.
	// Unit: mg N/kg.
	warnPPM = 1000

	// germinationPPM is the ammonia that held back germination and early growth in the laboratory.
	//
	// Source: Colliver & Welch 1970, Agron. J. 62:346-348.
	// Range: 944.
	// Unit: mg N/kg.
	germinationPPM = 944

	// stoppedPPM is the ammonia that practically stopped both.
	//
	// Source: Colliver & Welch 1970, Agron. J. 62:346-348.
	// Range: 1628.
	// Unit: mg N/kg.
	stoppedPPM = 1628

	// waitDays is the shorter wait between ammonia and planting.
	//
	// Source: Univ. of Missouri Extension: 7 to 10 days; Iowa State Univ.: no set number.
	// Range: 0 to 7.
	// Unit: days.
	waitDays = 7

	// waitLongDays is the longer wait.
	//
	// Source: Univ. of Missouri Extension: 7 to 10 days.
	// Range: 7 to 14.
	// Unit: days.
	waitLongDays = 10

	// helpDays is a wait that made injury less.
	//
	// Source: Colliver & Welch 1970, Agron. J. 62 (1 to 2 weeks; depth helped more).
	// Range: 7 to 14.
	// Unit: days.
	helpDays = 14

	// goneDays is from when on the band is no matter for the seed.
	//
	// Source: our own: twice helpDays.
	// Range: 21 to 42.
	// Unit: days.
	goneDays = 28

	// gentleRate is a rate that cost no stand at any depth or date.
	//
	// Source: Univ. of Illinois study (Colliver & Welch) as told by Lang, Iowa State Univ. 2009.
	// Range: 100.
	// Unit: lb N/ac.
	gentleRate = 100

	// harmRate is the preplant rate from which a shallow opener hurt stands.
	//
	// Source: Woli et al. 2014, Agron. J. (180 and 225 kg N/ha; none with the conventional knife).
	// Range: 160 to 200 lb N/ac.
	// Unit: kg N/ha.
	harmRate = 180

	// leastAngle is the angle to the rows from which bands cross them and do not follow them.
	//
	// Source: common practice: at an angle; the figure is our own.
	// Range: 5 to 45.
	// Unit: degrees.
	leastAngle = 10

	// leastOffset is the distance between band and row that guidance should keep where they run alike.
	//
	// Source: Iowa State Univ.: 4 to 6 in.
	// Range: 4 to 6.
	// Unit: in.
	leastOffset = 4

	// fallSoil is the 4 in soil temperature that fall ammonia waits for, and falling.
	//
	// Source: Iowa State Univ. ICM 17 October 2012; Iowa Dept. of Agriculture; Minnesota Dept. of Agriculture; Kansas State Univ.
	// Range: 50.
	// Unit: °F.
	fallSoil = 50

	// fallDays is how long before planting an application counts as of the fall where nobody says so.
	//
	// Source: our own.
	// Range: 100 to 150.
	// Unit: days.
	fallDays = 120
)

// Urea and UAN on the surface.
const (
	// highResidue is the cover from which residue is high.
	//
	// Source: CTIC: conservation tillage, 30 % after planting; Univ. of Missouri G1570.
	// Range: 0.15 (reduced) to 0.3.
	// Unit: share of the ground.
	highResidue = 0.30

	// shallowMix is the depth to which urea lost about as much worked in as on the surface.
	//
	// Source: Ernst & Massey 1960: the top quarter inch of a silt loam of pH 6.5.
	// Range: 0.25.
	// Unit: in.
	shallowMix = 0.25

	// rainSome is the water that cut the loss of ammonia from surface urea by 71 %.
	//
	// Source: Holcomb et al. 2011, Soil Sci. Soc. Am. J. (19.4 of 67.3 kg N/ha); Iowa State Univ.: 0.25 to 0.50 in within two days.
	// Range: 5 to 12.7.
	// Unit: mm.
	rainSome = 7.6

	// rainMost is the water that cut it by 90 %.
	//
	// Source: Holcomb et al. 2011, Soil Sci. Soc. Am. J.
	// Range: 12.7 to 21.6.
	// Unit: mm.
	rainMost = 14.6

	// rainPractice is the rain that practice asks for.
	//
	// Source: common practice.
	// Range: 0.5 to 1.
	// Unit: in.
	rainPractice = 1

	// rainWindow is within how many days it must fall on urea without an inhibitor.
	//
	// Source: Iowa State Univ. ICM: about two days; Fox, Kern & Piekielek 1986, Agron. J. 78:741-746: below 5 % lost with 10 mm within 2 to 3 days.
	// Range: 2 to 3.
	// Unit: days.
	rainWindow = 2

	// rainWindowInhibited is within how many days it must fall with a urease inhibitor.
	//
	// Source: common practice: about 11 days to a loss of 10 %, and about 2 without.
	// Range: 7 to 14.
	// Unit: days.
	rainWindowInhibited = 11
)

// Products under rules of security.
const (
	// nitrateShare is the ammonium nitrate in a dry product from which the rules hold.
	//
	// Source: proposed federal rule, 76 Fed. Reg. 46908 (2011): mixtures of 30 % and more of solid ammonium nitrate.
	// Range: 28 to 80.
	// Unit: % of product mass.
	nitrateShare = 30

	// nitrogenInNitrate is the nitrogen of ammonium nitrate, half of it as nitrate.
	//
	// Source: formula weights of N and NH4NO3: 28.01 of 80.04.
	// Range: 33.5 to 35.
	// Unit: % of its mass.
	nitrogenInNitrate = 35

	// lightestSolution is the density from which a product is a solution and no heap of grains.
	//
	// Source: common practice; prills lie at 0.7 to 1.0 kg/L, fluid fertilizers at 1.1 and more.
	// Range: 1.0 to 1.1.
	// Unit: kg/L.
	lightestSolution = 1.05
)

// Nitrogen and the standing crop.
const (
	// uanEarly is the most of broadcast UAN over corn at V3 to V4.
	//
	// Source: Iowa State Univ. ICM, 24 May 1999 and 14 May 2001, after trials of Randall, Univ. of Minnesota.
	// Range: 60 to 90.
	// Unit: lb N/ac.
	uanEarly = 90

	// uanLate is the most up to V7.
	//
	// Source: Iowa State Univ. ICM, 24 May 1999 and 14 May 2001, after trials of Randall, Univ. of Minnesota.
	// Range: 60.
	// Unit: lb N/ac.
	uanLate = 60

	// uanAtrazine is the most that cost no yield with 2 lb/ac of atrazine in the UAN.
	//
	// Source: Iowa State Univ. ICM, 14 May 2001.
	// Range: 60 to 90 (Iowa State Univ. ICM, 27 May 1996).
	// Unit: lb N/ac.
	uanAtrazine = 60

	// uanEarlyEnds is the stage from which uanLate holds; the figures between V4 and V7 are not published, and the lower stands in.
	//
	// Source: Iowa State Univ. ICM, 24 May 1999 and 14 May 2001, after trials of Randall, Univ. of Minnesota.
	// Range: 5.
	// Unit: leaf collars.
	uanEarlyEnds = 5

	// uanEnds is the stage from which none goes over the leaves: larger than V7.
	//
	// Source: Iowa State Univ. ICM, 24 May 1999 and 14 May 2001, after trials of Randall, Univ. of Minnesota.
	// Range: 8.
	// Unit: leaf collars.
	uanEnds = 8

	// lateFrom is the stage from which a sidedress counts as late.
	//
	// Source: common practice: most nitrogen on by V4 to V6.
	// Range: 5 to 9.
	// Unit: leaf collars.
	lateFrom = 7

	// lateHarm is the stage from which waiting cost yield.
	//
	// Source: Scharf et al. 2002, Agron. J. (28 trials): little up to V11, about 3 % at V12 to V16.
	// Range: 12.
	// Unit: leaf collars.
	lateHarm = 12
)
