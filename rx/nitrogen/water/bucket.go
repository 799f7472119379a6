package water

import (
	"fmt"
	"math"
	"time"
)

// Run keeps the balance of a soil at a latitude (degrees, north above zero) over
// days that follow one another.
//
// Errors in words: a soil or class that is not known, a latitude that is none, days
// that are out of order or left out, values that are no numbers or cannot be.
func Run(soil Soil, latitude float64, days []Day, c Coefficients) (Season, error) {
	b, err := newBucket(soil, latitude, c)
	if err != nil {
		return Season{}, err
	}
	if len(days) == 0 {
		return Season{}, fmt.Errorf("soil water: there is no day of weather; give the days from some weeks before the first application on")
	}
	s := Season{
		First: midnight(days[0].Date), Days: make([]State, len(days)), Soil: soil, AvailableShare: b.texture.Capacity - b.texture.Wilting,
		WiltingMM: b.wilting, CapacityMM: b.capacity, SaturationMM: b.saturation, Notes: b.notes,
	}
	first := number(days[0].Date)
	for i, d := range days {
		if err := d.check(first + i); err != nil {
			return Season{}, err
		}
		s.Days[i] = b.day(d)
	}
	return s, nil
}

// check refuses a day that is not the one that is due.
func (d Day) check(due int) error {
	if got := number(d.Date); got != due {
		return fmt.Errorf("weather: %s stands where %s is due; give every day once, in order, and fill missing days", dateOf(got), dateOf(due))
	}
	what := ""
	switch {
	case !finite(d.MaxC) || !finite(d.MinC) || !finite(d.SoilC) || !finite(d.RainMM):
		what = "a value is missing or no number; fill it, and say so"
	case d.MinC > d.MaxC:
		what = fmt.Sprintf("the minimum of %g °C is above the maximum of %g °C; correct one of them", d.MinC, d.MaxC)
	case d.MinC < -90 || d.MaxC > 70 || math.Abs(d.SoilC) > 70:
		what = fmt.Sprintf("%g to %g °C of air, %g °C of soil cannot be; check that the values are in °C", d.MinC, d.MaxC, d.SoilC)
	case d.RainMM < 0 || d.RainMM > 2000:
		what = fmt.Sprintf("%g mm of rain cannot be; write 0 or more, in mm", d.RainMM)
	default:
		return nil
	}
	return fmt.Errorf("weather of %s: %s", dateOf(due), what)
}

func dateOf(number int) string {
	return time.Unix(int64(number)*86400, 0).UTC().Format(time.DateOnly)
}

// bucket is the balance on its way.
type bucket struct {
	c                             Coefficients
	texture                       Texture
	latitude                      float64 // radians
	wilting, capacity, saturation float64 // mm
	drains                        float64 // share a day
	curve                         float64 // 0 where no hydrologic group is known
	water, snow                   float64 // mm
	recent                        [2]float64
	surface                       float64
	wet                           int
	notes                         []string
}

// day moves the balance on by a day.
func (b *bucket) day(d Day) State {
	s := State{MeanC: (d.MaxC + d.MinC) / 2, SoilC: d.SoilC}
	s.ArrivedMM = b.melt(s.MeanC, d.RainMM)
	if b.curve > 0 {
		s.RunoffMM = runoff(s.ArrivedMM, b.curve)
	}
	b.water += s.ArrivedMM - s.RunoffMM
	if over := b.water - b.saturation; over > 0 {
		s.RunoffMM += over
		b.water = b.saturation
	}
	s.DrainedMM = max(0, b.water-b.capacity) * b.drains
	b.water -= s.DrainedMM
	s.UsedMM = b.use(d)
	b.water -= s.UsedMM
	s.SnowMM, s.SoilMM = b.snow, b.water
	b.mark(&s)
	return s
}

// melt is what reaches the ground of a day's rain and the snow that lies.
func (b *bucket) melt(meanC, rain float64) float64 {
	if meanC <= 0 {
		b.snow += rain
		return 0
	}
	melted := min(b.snow, b.c.MeltPerDegree*meanC)
	b.snow -= melted
	return rain + melted
}

// use is the evapotranspiration of a day: none under snow, less from dry soil.
func (b *bucket) use(d Day) float64 {
	if b.snow > 0 {
		return 0
	}
	want := b.c.EvaporationScale * b.c.reference(radiation(b.latitude, d.Date.YearDay()), d.MaxC, d.MinC) * b.crop(d.Date)
	left := b.water - b.wilting
	if stint := left / ((1 - b.c.EasyShare) * (b.capacity - b.wilting)); stint < 1 {
		want *= max(0, stint)
	}
	return min(want, max(0, left))
}

// crop is the crop coefficient of a date.
func (b *bucket) crop(t time.Time) float64 {
	if b.c.Planted.IsZero() {
		return b.c.BareSoil
	}
	days := float64(number(t) - number(b.c.Planted))
	switch {
	case days <= b.c.CropStarts:
		return b.c.BareSoil
	case days >= b.c.CropFull:
		return b.c.FullCrop
	}
	return b.c.BareSoil + (b.c.FullCrop-b.c.BareSoil)*(days-b.c.CropStarts)/(b.c.CropFull-b.c.CropStarts)
}

// mark says whether the day is saturated and how moist the surface is.
func (b *bucket) mark(s *State) {
	s.Saturated = b.water-b.capacity > b.c.SaturatedAbove*(b.saturation-b.capacity)
	b.wet++
	if !s.Saturated {
		b.wet = 0
	}
	s.WetDays = b.wet
	b.surface -= 1 / b.c.DryingDays
	if b.surface < 1e-9 { // five fifths are not quite one
		b.surface = 0
	}
	lately := b.recent[0] + b.recent[1] + s.ArrivedMM
	if lately >= b.c.MoistMM || b.water >= b.wilting+b.c.NearCapacity*(b.capacity-b.wilting) {
		b.surface = 1
	}
	b.recent[0], b.recent[1] = b.recent[1], s.ArrivedMM
	s.Surface = b.surface
}
