package nitrogen

// Published properties of the sources. Where a grade and its composition differ
// in the last digit, the grade holds: it is what the invoice and the label say.
// Densities move with temperature and maker, so each can be overridden.
const (
	// ammoniaN is the nitrogen in anhydrous ammonia, all of it ammonium-forming.
	//
	// Source: label grade 82-0-0; NDSU AE1149.
	// Range: 82 to 82.5 (by atomic weight).
	// Unit: percent of product mass.
	ammoniaN = 82

	// uan28N is the nitrogen in UAN 28.
	//
	// Source: label grade 28-0-0; IPNI Nutrient Source Specifics no. 7 (composition).
	// Range: 27.99 from 40 % ammonium nitrate and 30 % urea.
	// Unit: percent of product mass.
	uan28N = 28

	// uan28Urea is the urea nitrogen in UAN 28.
	//
	// Source: IPNI Nutrient Source Specifics no. 7 (composition), rounded to the grade.
	// Range: 13.995 from 30 % urea.
	// Unit: percent of product mass.
	uan28Urea = 14.0

	// uan28Salt is the ammonium nitrogen, and as much nitrate nitrogen, in UAN
	// 28.
	//
	// Source: IPNI Nutrient Source Specifics no. 7 (composition), rounded to the grade.
	// Range: 6.9996 from 40 % ammonium nitrate.
	// Unit: percent of product mass.
	uan28Salt = 7.0

	// uan30N is the nitrogen in UAN 30.
	//
	// Source: label grade 30-0-0; IPNI Nutrient Source Specifics no. 7 (composition).
	// Range: 30.09 from 42 % ammonium nitrate and 33 % urea.
	// Unit: percent of product mass.
	uan30N = 30

	// uan30Urea is the urea nitrogen in UAN 30.
	//
	// Source: IPNI Nutrient Source Specifics no. 7 (composition), rounded to the grade.
	// Range: 15.39 from 33 % urea.
	// Unit: percent of product mass.
	uan30Urea = 15.4

	// uan30Salt is the ammonium nitrogen, and as much nitrate nitrogen, in UAN
	// 30.
	//
	// Source: IPNI Nutrient Source Specifics no. 7 (composition), rounded to the grade.
	// Range: 7.35 from 42 % ammonium nitrate, less 0.05 to keep to the grade.
	// Unit: percent of product mass.
	uan30Salt = 7.3

	// uan32N is the nitrogen in UAN 32.
	//
	// Source: label grade 32-0-0; IPNI Nutrient Source Specifics no. 7 (composition).
	// Range: 31.73 to 32.08 from 44 to 45 % ammonium nitrate and 35 % urea.
	// Unit: percent of product mass.
	uan32N = 32

	// uan32Urea is the urea nitrogen in UAN 32.
	//
	// Source: IPNI Nutrient Source Specifics no. 7 (composition), rounded to the grade.
	// Range: 16.33 from 35 % urea.
	// Unit: percent of product mass.
	uan32Urea = 16.3

	// uan32Salt is the ammonium nitrogen, and as much nitrate nitrogen, in UAN
	// 32.
	//
	// Source: IPNI Nutrient Source Specifics no. 7 (composition), rounded to the grade.
	// Range: 7.70 to 7.87 from 44 to 45 % ammonium nitrate.
	// Unit: percent of product mass.
	uan32Salt = 7.85

	// ureaN is the nitrogen in urea, all of it urea nitrogen.
	//
	// Source: label grade 46-0-0.
	// Range: 46 to 46.65 (pure).
	// Unit: percent of product mass.
	ureaN = 46

	// ammoniumNitrateN is the nitrogen in ammonium nitrate, half ammonium and
	// half nitrate.
	//
	// Source: label grade 34-0-0.
	// Range: 33.5 (also sold) to 34.998 (pure).
	// Unit: percent of product mass.
	ammoniumNitrateN = 34

	// ammoniumSulfateN is the nitrogen in ammonium sulfate, all of it ammonium.
	//
	// Source: label grade 21-0-0-24S.
	// Range: 21 to 21.2 (pure).
	// Unit: percent of product mass.
	ammoniumSulfateN = 21

	// ammoniumThiosulfateN is the nitrogen in ammonium thiosulfate solution, all
	// of it ammonium.
	//
	// Source: label grade 12-0-0-26S.
	// Range: 12 (label).
	// Unit: percent of product mass.
	ammoniumThiosulfateN = 12

	// ammoniumPolyphosphateN is the nitrogen in ammonium polyphosphate solution,
	// all of it ammonium.
	//
	// Source: label grade 10-34-0.
	// Range: 10 (label).
	// Unit: percent of product mass.
	ammoniumPolyphosphateN = 10

	// ammoniaDensity is the density of liquid anhydrous ammonia at 60 °F.
	//
	// Source: Univ. of Nebraska Plant & Soil Sciences eLibrary, lesson "Nitrogen Fertilizers".
	// Range: 5.14 to 5.15 at 60 °F; see ammoniaDegrees.
	// Unit: lb/gal (US).
	ammoniaDensity = 5.15

	// uan28Density is the density of UAN 28 at about 60 °F.
	//
	// Source: "Estimated physical characteristics of fertilizer material", regional extension hand-out.
	// Range: 10.6 (Purdue 2023) to 10.70 (specific gravity 1.283 at 16 °C).
	// Unit: lb/gal (US).
	uan28Density = 10.67

	// uan30Density is the density of UAN 30 at 16 °C.
	//
	// Source: UNIDO/IFDC Fertilizer Manual 1998, T. Dorn, Univ. of Nebraska 288-01 (specific gravity 1.303).
	// Range: 10.80 to 10.92 by densitySpread.
	// Unit: lb/gal (US).
	uan30Density = 10.86

	// uan32Density is the density of UAN 32 at about 60 °F.
	//
	// Source: "Estimated physical characteristics of fertilizer material", regional extension hand-out.
	// Range: 11.00 (specific gravity 1.320 at 16 °C) to 11.06.
	// Unit: lb/gal (US).
	uan32Density = 11.06

	// thiosulfateDensity is the density of ammonium thiosulfate solution.
	//
	// Source: "Estimated physical characteristics of fertilizer material", regional extension hand-out.
	// Range: 10.97 to 11.11 by densitySpread.
	// Unit: lb/gal (US).
	thiosulfateDensity = 11.04

	// polyphosphateDensity is the density of 10-34-0.
	//
	// Source: "Estimated physical characteristics of fertilizer material", regional extension hand-out.
	// Range: 11.6 (Michigan State) to 11.65.
	// Unit: lb/gal (US).
	polyphosphateDensity = 11.65

	// densitySpread is how far published densities of one solution lie from
	// their middle.
	//
	// Source: the densities above with the others seen for the same grade.
	// Range: 0.2 (10-34-0) to 0.7 (UAN 28); 1 with temperature.
	// Unit: percent.
	densitySpread = 0.6

	// ammoniaDegrees is the rise in temperature that thins liquid ammonia by 1
	// percent.
	//
	// Source: 5.15 lb/gal at 60 °F as above against 5.69 at -28 °F, Wisconsin Admin. Code SPS 343 appendix.
	// Range: 7 (above 70 °F) to 8.5 (below 60 °F).
	// Unit: °F per percent of density.
	ammoniaDegrees = 8
)
