package loss

import (
	"time"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/water"
)

// Day is where the nitrogen is at the end of a day.
type Day struct {
	Date time.Time
	Balance
}

// Course is an application's nitrogen day by day.
type Course struct {
	Days      []Day
	Potential float64 // share that may be lost as ammonia where nothing hinders it
	MeanC     float64 // of the air over the first ten days, °C
	Notes     []string
}

// Follow is the course of an application at a rate on a site, from its day to end,
// both within. See Prepare and Shape.At for the errors.
func Follow(a Application, site Site, rate unit.NRate, season *water.Season, end time.Time, c *Coefficients) (Course, error) {
	s, err := Prepare(a, season, end, c)
	if err != nil {
		return Course{}, err
	}
	return s.Course(site, rate)
}

// Course is all days of the shape at a rate on a site.
func (s *Shape) Course(site Site, rate unit.NRate) (Course, error) {
	if err := checkAt(site, rate); err != nil {
		return Course{}, err
	}
	kgHa := rate.KgNPerHa()
	phi, tieUp := s.phi(site, kgHa), s.c.tieUp(s.kind.placement, site)
	course := Course{
		Days: make([]Day, len(s.rows)), MeanC: s.MeanC, Notes: s.Notes,
		Potential: s.most(site, kgHa),
	}
	for i := range course.Days {
		course.Days[i] = Day{Date: s.First.AddDate(0, 0, i), Balance: s.balance(kgHa, phi, tieUp, i+1)}
	}
	return course, nil
}
