package water

import (
	"math"
	"time"
)

// Day is the weather of a date. Every value is known: who calls fills what is
// missing, and says so.
type Day struct {
	Date       time.Time // only the date that it shows counts
	MaxC, MinC float64   // air, °C
	SoilC      float64   // mean of the day where the nitrogen lies, °C
	RainMM     float64   // rain, melted snow and irrigation, mm
}

// Soil is what the balance must know of a soil.
type Soil struct {
	Group      string // "coarse", "medium" or "fine", as rx/soil.Group makes it of a texture
	Drainage   string // class of natural drainage by USDA, as "well drained"; "" where it is not known
	Hydrologic string // "A" to "D", or "A/D" to "C/D"; "" where it is not known
	Tiled      bool   // drained by tile: drains as "moderately well drained" at the least
}

// Check refuses a soil whose texture group, drainage class or hydrologic group is none.
func (s Soil) Check() error {
	_, err := newBucket(s, 0, Mid())
	return err
}

// State is the water of a day. All depths of water are in mm.
type State struct {
	MeanC     float64 // mean of the air's maximum and minimum, °C
	SoilC     float64 // as given, °C
	ArrivedMM float64 // rain, irrigation and melt that reached the surface
	RunoffMM  float64 // of it, what ran off
	DrainedMM float64 // what left the bucket downward
	UsedMM    float64 // evapotranspiration
	SnowMM    float64 // lying at the end of the day
	SoilMM    float64 // in the bucket at the end of the day
	Saturated bool
	WetDays   int     // saturated days in a row up to and with this one
	Surface   float64 // 1 moist to 0 dry
}

// Season is the water of a soil over a span of days.
type Season struct {
	First time.Time // midnight UTC of the first day
	Days  []State   // one a day, without a break
	Soil  Soil
	// AvailableShare is what the soil holds between wilting point and field capacity,
	// in mm of water per mm of soil.
	AvailableShare float64
	// The bucket at its wilting point, field capacity and saturation, mm.
	WiltingMM, CapacityMM, SaturationMM float64
	Notes                               []string
}

// Index is the place of a date in Days, and false where it is not among them.
func (s Season) Index(t time.Time) (int, bool) {
	i := number(t) - number(s.First)
	return i, i >= 0 && i < len(s.Days)
}

// number counts the days since 1970-01-01 by the date that t shows.
func number(t time.Time) int {
	y, m, d := t.Date()
	return int(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

func midnight(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
