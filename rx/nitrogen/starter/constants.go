package starter

// The most nitrogen and potash with the seed.
const (
	// kansasMedium40 is that of medium and fine soils, rows 40 in apart.
	//
	// Source: Kansas State Univ. (Ruiz Diaz), in No-Till Farmer (second-hand); text in K-State eUpdate.
	// Range: 6.
	// Unit: lb/ac of N + K2O.
	kansasMedium40 = 6

	// kansasMedium30 is that of medium and fine soils, rows 30 in apart.
	//
	// Source: Kansas State Univ. (Ruiz Diaz), in No-Till Farmer (second-hand); text in K-State eUpdate.
	// Range: 8.
	// Unit: lb/ac of N + K2O.
	kansasMedium30 = 8

	// kansasMedium20 is that of medium and fine soils, rows 20 in apart.
	//
	// Source: Kansas State Univ. (Ruiz Diaz), in No-Till Farmer (second-hand); text in K-State eUpdate.
	// Range: 12.
	// Unit: lb/ac of N + K2O.
	kansasMedium20 = 12

	// kansasSandy40 is that of sandy soils, rows 40 in apart.
	//
	// Source: Kansas State Univ. (Ruiz Diaz), in No-Till Farmer (second-hand); text in K-State eUpdate.
	// Range: 4.
	// Unit: lb/ac of N + K2O.
	kansasSandy40 = 4

	// kansasSandy30 is that of sandy soils, rows 30 in apart.
	//
	// Source: Kansas State Univ. (Ruiz Diaz), in No-Till Farmer (second-hand); text in K-State eUpdate.
	// Range: 6.
	// Unit: lb/ac of N + K2O.
	kansasSandy30 = 6

	// kansasSandy20 is that of sandy soils, rows 20 in apart.
	//
	// Source: Kansas State Univ. (Ruiz Diaz), in No-Till Farmer (second-hand); text in K-State eUpdate.
	// Range: 8.
	// Unit: lb/ac of N + K2O.
	kansasSandy20 = 8

	// michiganMedium is that of silt and clay loams, for all rows.
	//
	// Source: Michigan State Univ., Pop-up fertilizer for corn.
	// Range: 10.
	// Unit: lb/ac of N + K2O.
	michiganMedium = 10

	// michiganSandy is that of sands and sandy loams, for all rows.
	//
	// Source: Michigan State Univ., Pop-up fertilizer for corn.
	// Range: 5.
	// Unit: lb/ac of N + K2O.
	michiganSandy = 5

	// virginia is that of all soils and rows.
	//
	// Source: note of Virginia Tech and Penn State (second-hand): 10 lb of N and K in the row.
	// Range: 10.
	// Unit: lb/ac of N + K.
	virginia = 10
)

// besideLimit is the most 2 in beside and 2 in below the seed.
//
// Source: Mullen, Ohio State Univ. (second-hand).
// Range: 100.
// Unit: lb/ac of N + K2O.
const besideLimit = 100
