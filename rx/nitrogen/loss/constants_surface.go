package loss

// Ammonia: the surface by day. All of these can be set otherwise in Coefficients;
// Low and High end a name in the runs of low and high losses.
const (
	// washUrea is how fast water takes urea into the soil.
	//
	// Source: our own fit to Holcomb et al. 2011, SSSAJ (0.142 to 0.164) and Black, Sherlock & Smith 1987 (0.172 to 0.279).
	// Range: 0.14 to 0.28.
	// Unit: per mm.
	washUrea = 0.16

	// washUreaLow is washUrea in the run of low losses.
	//
	// Source: as washUrea.
	// Range: 0.14 to 0.28.
	// Unit: per mm.
	washUreaLow = 0.28

	// washUreaHigh is washUrea in the run of high losses.
	//
	// Source: as washUrea.
	// Range: 0.14 to 0.28.
	// Unit: per mm.
	washUreaHigh = 0.14

	// washAmmonia is how fast water takes ammonium into the soil.
	//
	// Source: our own: half of urea's, the weakest assumption; Black, Sherlock & Smith 1987: late water saves little.
	// Range: 0 to 0.16.
	// Unit: per mm.
	washAmmonia = 0.08

	// washAmmoniaLow is washAmmonia in the run of low losses.
	//
	// Source: as washAmmonia.
	// Range: 0 to 0.16.
	// Unit: per mm.
	washAmmoniaLow = 0.16

	// washAmmoniaHigh is washAmmonia in the run of high losses.
	//
	// Source: as washAmmonia.
	// Range: 0 to 0.16.
	// Unit: per mm.
	washAmmoniaHigh = 0

	// hydrolysis is how fast urea on a moist surface hydrolyses at 0 °C.
	//
	// Source: Lasisi & Akinremi 2021, Can. J. Soil Sci. 101(2), our fit: 0.07, 0.12 and 0.20 a day at 5, 15 and 25 °C over all treatments, 0.19 for urea.
	// Range: none given.
	// Unit: per day.
	hydrolysis = 0.0809

	// hydrolysisUrease is the same with an inhibitor of urease.
	//
	// Source: Lasisi & Akinremi 2021, Can. J. Soil Sci. 101(2), our fit: 0.07, 0.12 and 0.20 a day at 5, 15 and 25 °C over all treatments, 0.08 with NBPT.
	// Range: none given.
	// Unit: per day.
	hydrolysisUrease = 0.034

	// hydrolysisBoth is the same with inhibitors of urease and nitrification.
	//
	// Source: Lasisi & Akinremi 2021, Can. J. Soil Sci. 101(2), our fit: 0.07, 0.12 and 0.20 a day at 5, 15 and 25 °C over all treatments, 0.11 with both.
	// Range: none given.
	// Unit: per day.
	hydrolysisBoth = 0.0468

	// hydrolysisPerDegree is how it rises with the temperature of the soil.
	//
	// Source: Lasisi & Akinremi 2021, our fit.
	// Range: 0.04 to 0.06 by activation energies of 29 to 41 kJ/mol (Yadav et al. 1987; Gould 1970).
	// Unit: per °C.
	hydrolysisPerDegree = 0.0525

	// dryShare is the hydrolysis that is left on a dry surface.
	//
	// Source: our own fit to Black, Sherlock & Smith 1987: 73 ± 14 % of the urea on air-dry soil was there after 30 days.
	// Range: 0.02 to 0.1.
	// Unit: share.
	dryShare = 0.05

	// clearing is how fast ammonium leaves the surface, into air or soil.
	//
	// Source: our own, so that half of the loss has come by the 4.8 and 8.3 days of Silva et al. 2017, at an assumed 25 °C.
	// Range: 0.25 to 0.7 were tried.
	// Unit: per day.
	clearing = 0.7

	// granularLag is the days before dry urea has dissolved.
	//
	// Source: Vlek & Carter 1983: a substantial lag.
	// Range: 0 to 2.
	// Unit: days.
	granularLag = 1

	// soilHydrolysis is how fast urea in the soil hydrolyses, warm and moist.
	//
	// Source: Godwin & Jones 1991 (CERES-N), read in a published model's source, worked at 2 % organic carbon and pH 6.5.
	// Range: 0.25 and up.
	// Unit: per day.
	soilHydrolysis = 0.805

	// soilPerDegree is its part by temperature of the soil.
	//
	// Source: Godwin & Jones 1991 (CERES-N), read in a published model's source.
	// Range: 1/40.
	// Unit: per °C.
	soilPerDegree = 0.025

	// soilOffset is added to its parts by temperature and moisture, each at most
	// 1.
	//
	// Source: Godwin & Jones 1991 (CERES-N), read in a published model's source.
	// Range: 0.2.
	// Unit: share.
	soilOffset = 0.2
)
