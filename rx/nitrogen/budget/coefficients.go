package budget

import "ratewright/geo/unit"

// Coefficients are the numbers of the rules. Take them from Published and change what
// your state says otherwise.
type Coefficients struct {
	Units unit.System // of the terms and notes; the numbers below stay in those of their publication

	StanfordPerBushel        float64 // lb N per bu
	PennStatePerBushel       float64 // lb N per bu
	SouthDakotaPerBushel     float64 // lb N per bu
	ExpectedOver             float64 // share of the mean
	IowaPerPPM               float64 // lb N/ac per ppm
	IowaCritical             float64 // ppm of nitrate-N in the top foot
	IowaCap                  float64 // lb N/ac
	IowaManured              float64 // ppm of nitrate-N in the top foot
	PennCritical             float64 // ppm of nitrate-N in the top foot
	PennPerBushel            float64 // lb N per bu
	PennNoManure             float64 // lb N/ac per ppm
	PennManure               float64 // lb N/ac per ppm
	PennEarlierManure        float64 // lb N/ac per ppm
	PennSoybean              float64 // lb N/ac per ppm
	PennForage               float64 // lb N/ac per ppm
	IllinoisPerPPM           float64 // lb N/ac per ppm in the top foot
	IllinoisFrom             float64 // ppm of nitrate-N
	TestShortest             float64 // in
	TestTallest              float64 // in
	OhioNone                 float64 // ppm of nitrate-N
	OhioLow                  float64 // ppm of nitrate-N
	OhioLowOff               float64 // lb N/ac
	OhioMiddle               float64 // ppm of nitrate-N
	OhioMiddleOff            float64 // lb N/ac
	OhioHigh                 float64 // ppm of nitrate-N
	OhioHighOff              float64 // lb N/ac
	OmBase                   float64 // lb N/ac
	OmPerBushel              float64 // lb N per bu
	OmPerPPM                 float64 // lb N/ac per ppm
	OmPerBushelPercent       float64 // lb N per bu and percent
	OmLeast                  float64 // percent
	OmMost                   float64 // percent
	LbPerPPMInch             float64 // lb N/ac per ppm and inch
	DeepNote                 float64 // ppm of nitrate-N
	SoybeanCredit            float64 // lb N/ac
	SoybeanSandyCredit       float64 // lb N/ac
	SoybeanLow               float64 // bu/ac of soybean
	DryBeanCredit            float64 // lb N/ac
	AlfalfaGood              float64 // lb N/ac
	AlfalfaFair              float64 // lb N/ac
	AlfalfaPoor              float64 // lb N/ac
	AlfalfaSecond            float64 // share
	WaterLbPerPPMInch        float64 // lb N/ac per ppm and inch
	DistrictBase             float64 // lb N/ac
	DistrictPerBushel        float64 // lb N per bu
	NoTill                   float64 // lb N/ac
	RecalibratedPerBushel    float64 // lb N per bu
	RecalibratedPerPPM       float64 // lb N/ac per ppm
	RecalibratedCover        float64 // lb N/ac
	NitrateMedium            float64 // ppm of nitrate-N
	NitrateSandy             float64 // ppm of nitrate-N
	SoybeanDakotas           float64 // lb N/ac
	SoybeanPerBushel         float64 // lb N per bu of soybean
	AlfalfaWisconsin         float64 // lb N/ac
	AlfalfaWisconsinPlants   float64 // plants per square foot
	AlfalfaWisconsinRegrowth float64 // in
	AlfalfaWisconsinLess     float64 // lb N/ac
	AlfalfaNebraskaGood      float64 // lb N/ac
	AlfalfaNebraskaHalf      float64 // lb N/ac
	AlfalfaKansas            float64 // lb N/ac
	AlfalfaIdaho             float64 // lb N/ac
	ManureBeef               float64 // lb N/ton
	ManureBeefSecond         float64 // share of the first year
}

// Published are the cited constants.
func Published() Coefficients {
	return Coefficients{
		StanfordPerBushel:        stanfordPerBushel,
		PennStatePerBushel:       pennStatePerBushel,
		SouthDakotaPerBushel:     southDakotaPerBushel,
		ExpectedOver:             expectedOver,
		IowaPerPPM:               iowaPerPPM,
		IowaCritical:             iowaCritical,
		IowaCap:                  iowaCap,
		IowaManured:              iowaManured,
		PennCritical:             pennCritical,
		PennPerBushel:            pennPerBushel,
		PennNoManure:             pennNoManure,
		PennManure:               pennManure,
		PennEarlierManure:        pennEarlierManure,
		PennSoybean:              pennSoybean,
		PennForage:               pennForage,
		IllinoisPerPPM:           illinoisPerPPM,
		IllinoisFrom:             illinoisFrom,
		TestShortest:             testShortest,
		TestTallest:              testTallest,
		OhioNone:                 ohioNone,
		OhioLow:                  ohioLow,
		OhioLowOff:               ohioLowOff,
		OhioMiddle:               ohioMiddle,
		OhioMiddleOff:            ohioMiddleOff,
		OhioHigh:                 ohioHigh,
		OhioHighOff:              ohioHighOff,
		OmBase:                   omBase,
		OmPerBushel:              omPerBushel,
		OmPerPPM:                 omPerPPM,
		OmPerBushelPercent:       omPerBushelPercent,
		OmLeast:                  omLeast,
		OmMost:                   omMost,
		LbPerPPMInch:             lbPerPPMInch,
		DeepNote:                 deepNote,
		SoybeanCredit:            soybeanCredit,
		SoybeanSandyCredit:       soybeanSandyCredit,
		SoybeanLow:               soybeanLow,
		DryBeanCredit:            dryBeanCredit,
		AlfalfaGood:              alfalfaGood,
		AlfalfaFair:              alfalfaFair,
		AlfalfaPoor:              alfalfaPoor,
		AlfalfaSecond:            alfalfaSecond,
		WaterLbPerPPMInch:        waterLbPerPPMInch,
		DistrictBase:             districtBase,
		DistrictPerBushel:        districtPerBushel,
		NoTill:                   noTill,
		RecalibratedPerBushel:    recalibratedPerBushel,
		RecalibratedPerPPM:       recalibratedPerPPM,
		RecalibratedCover:        recalibratedCover,
		NitrateMedium:            nitrateMedium,
		NitrateSandy:             nitrateSandy,
		SoybeanDakotas:           soybeanDakotas,
		SoybeanPerBushel:         soybeanPerBushel,
		AlfalfaWisconsin:         alfalfaWisconsin,
		AlfalfaWisconsinPlants:   alfalfaWisconsinPlants,
		AlfalfaWisconsinRegrowth: alfalfaWisconsinRegrowth,
		AlfalfaWisconsinLess:     alfalfaWisconsinLess,
		AlfalfaNebraskaGood:      alfalfaNebraskaGood,
		AlfalfaNebraskaHalf:      alfalfaNebraskaHalf,
		AlfalfaKansas:            alfalfaKansas,
		AlfalfaIdaho:             alfalfaIdaho,
		ManureBeef:               manureBeef,
		ManureBeefSecond:         manureBeefSecond,
	}
}
