package loss

import (
	"errors"
	"fmt"
	"math"
	"time"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/water"
)

var errNoTemperature = errors.New("the mean temperature of the first ten days is no number; give it in °C")

// row is a day of a shape, in shares of what is in or on the ground. "All" holds for
// no loss of ammonia; "cleared" is the part that went through the ammoniacal surface,
// of which phi is lost, and what would have become of it in the soil.
type row struct {
	urea, ammonium, nitrate, denitrified, leached                                float64
	cleared, clearedAmmonium, clearedNitrate, clearedDenitrified, clearedLeached float64
}

// Shape is the course of an application over days, at any rate and on any site: all
// that comes after the split is linear in the rate and in the share that is lost as
// ammonia. Once prepared it may be asked from several goroutines.
type Shape struct {
	First, Last time.Time // day 1 is the application's
	MeanC       float64   // of the air over the first ten days, °C
	AtInjection float64   // share lost on the way into the ground
	Notes       []string

	c       Coefficients
	checked bool // c is
	kind    kind
	exposed float64 // share of urea and ammonium
	rows    []row
	cohorts []cohort
}

// Prepare makes the shape of an application's course on the soil and weather of a
// season, from the day of application to end, both within.
//
// Errors in words: an application or a coefficient that cannot be, a season that does
// not reach from the one date to the other.
func Prepare(a Application, season *water.Season, end time.Time, c *Coefficients) (Shape, error) {
	var s Shape
	err := s.Prepare(a, season, end, c)
	return s, err
}

// Prepare is as the function of that name, and uses the memory of the shape again.
func (s *Shape) Prepare(a Application, season *water.Season, end time.Time, c *Coefficients) error {
	if err := a.Check(); err != nil {
		return err
	}
	if !s.checked || *c != s.c { // those of the last time were checked then
		if err := c.check(); err != nil {
			return err
		}
	}
	from, to, err := span(a, season, end)
	if err != nil {
		return err
	}
	days := season.Days[from : to+1]
	if err := checkSeason(season, days, from); err != nil {
		return err
	}
	s.c, s.checked, s.kind = *c, true, c.kindOf(a)
	s.First, s.Last = midnight(a.Date), midnight(end)
	urea, ammonium, _ := shares(a.Source)
	s.exposed, s.AtInjection = urea+ammonium, 0
	if a.Source.Ammonia {
		s.AtInjection = c.InjectionLoss(a.Depth, season.Soil.Group == coarse)
	}
	s.MeanC = meanOfFirst(days)
	s.Notes = notes(a, season)
	s.run(a, season, days)
	return nil
}

const coarse = "coarse"

// span are the places of the first and the last day in the season.
func span(a Application, season *water.Season, end time.Time) (from, to int, err error) {
	if number(end) < number(a.Date) {
		return 0, 0, fmt.Errorf("the course ends on %s, before %s is applied on %s; give a later end", date(end), a.Source.Called(), date(a.Date))
	}
	from, okFrom := season.Index(a.Date)
	to, okTo := season.Index(end)
	if !okFrom || !okTo {
		reach := "there is no weather at all"
		if n := len(season.Days); n > 0 {
			reach = fmt.Sprintf("the weather reaches from %s to %s", date(season.First), date(season.First.AddDate(0, 0, n-1)))
		}
		return 0, 0, fmt.Errorf("%s from %s to %s: %s; give weather for every day of it", a.Source.Called(), date(a.Date), date(end), reach)
	}
	return from, to, nil
}

// checkSeason refuses a season that water.Run did not make.
func checkSeason(season *water.Season, days []water.State, from int) error {
	if !(season.AvailableShare > 0 && season.CapacityMM > season.WiltingMM) || math.IsInf(season.AvailableShare+season.CapacityMM, 0) {
		return fmt.Errorf("the season's soil holds the share %g of its volume between wilting point and field capacity; take it from a balance of its water", season.AvailableShare)
	}
	for i := range days {
		d := &days[i]
		if !(d.ArrivedMM >= 0 && d.DrainedMM >= 0 && d.Surface >= 0 && d.Surface <= 1) || !finite(d.ArrivedMM+d.DrainedMM+d.SoilMM) || !(math.Abs(d.SoilC) <= 100 && math.Abs(d.MeanC) <= 100) {
			return fmt.Errorf("the season's day %s has %g mm arrived, %g drained and %g in the soil, a surface moist by %g, %g °C of air and %g of soil; take it from a balance of its water", date(season.First.AddDate(0, 0, from+i)), d.ArrivedMM, d.DrainedMM, d.SoilMM, d.Surface, d.MeanC, d.SoilC)
		}
	}
	return nil
}

// meanOfFirst is the mean temperature of the first ten days, or of those there are.
func meanOfFirst(days []water.State) float64 {
	const first = 10
	days = days[:min(first, len(days))]
	sum := 0.0
	for i := range days {
		sum += days[i].MeanC
	}
	return sum / float64(len(days))
}

// Days is how many days the shape has.
func (s *Shape) Days() int { return len(s.rows) }

// Day is the number of a date in the shape, 1 for the day of application, and false
// where it is not within.
func (s *Shape) Day(t time.Time) (int, bool) {
	d := number(t) - number(s.First) + 1
	return d, d >= 1 && d <= len(s.rows)
}

// Potential is the share of the nitrogen that may be lost as ammonia at a rate on a
// site; see Coefficients.Potential. It is held to what is not nitrate, and to the most of
// that which goes into the air.
func (s *Shape) Potential(site Site, rate unit.NRate) (float64, error) {
	if err := checkAt(site, rate); err != nil {
		return 0, err
	}
	return s.most(site, rate.KgNPerHa()), nil
}

func checkAt(site Site, rate unit.NRate) error {
	if err := CheckRate(rate); err != nil {
		return err
	}
	return site.Check()
}

// CheckRate refuses a rate that no application has, in words.
func CheckRate(rate unit.NRate) error {
	const most = 1000 // kg N/ha
	if r := rate.KgNPerHa(); !(r >= 0 && r <= most) {
		return fmt.Errorf("a rate of %.0f lb N/ac (%.0f kg N/ha) cannot be; write 0 to %.0f lb N/ac (%d kg N/ha)", rate.LbNPerAcre(), r, unit.KgNPerHa(most).LbNPerAcre(), most)
	}
	return nil
}

// At is where the nitrogen of an application at a rate on a site is at the end of a
// day, 1 for the day of application. It allocates nothing. It is an error where the
// site or the rate cannot be, or the day is not within the shape.
func (s *Shape) At(site Site, rate unit.NRate, day int) (Balance, error) {
	if err := checkAt(site, rate); err != nil {
		return Balance{}, err
	}
	if day < 1 || day > len(s.rows) {
		return Balance{}, fmt.Errorf("day %d is not within the course, which has %d days", day, len(s.rows))
	}
	kgHa := rate.KgNPerHa()
	return s.balance(kgHa, s.phi(site, kgHa), s.c.tieUp(s.kind.placement, site), day), nil
}

// most is the share of a rate that may go into the air.
func (s *Shape) most(site Site, kgHa float64) float64 {
	return min(s.c.MostPhi*s.exposed, s.c.potential(&s.kind, site, kgHa, s.MeanC))
}

// phi is the share of what is cleared from the surface that is lost as ammonia.
func (s *Shape) phi(site Site, kgHa float64) float64 {
	if s.exposed <= 0 {
		return 0
	}
	return min(s.c.MostPhi, s.c.potential(&s.kind, site, kgHa, s.MeanC)/s.exposed)
}

func (s *Shape) balance(kgHa, phi, tieUp float64, day int) Balance {
	r := &s.rows[day-1]
	b := Balance{Applied: kgHa, AtInjection: kgHa * s.AtInjection}
	in := kgHa - b.AtInjection
	b.Urea = in * r.urea
	b.Ammonium = in * max(0, r.ammonium-phi*r.clearedAmmonium)
	b.Nitrate = in * max(0, r.nitrate-phi*r.clearedNitrate)
	b.Ammonia = in * phi * r.cleared
	b.Denitrified = in * max(0, r.denitrified-phi*r.clearedDenitrified)
	b.Leached = in * max(0, r.leached-phi*r.clearedLeached)
	// Residue takes ammonium and nitrate alike, and no more than there is.
	if mineral := b.Ammonium + b.Nitrate; mineral > 0 && tieUp > 0 {
		b.Held = min(mineral, tieUp*min(1, float64(day)/s.c.TieUpDays))
		left := (mineral - b.Held) / mineral
		b.Ammonium *= left
		b.Nitrate *= left
	}
	return b
}
