package weather

import (
	"fmt"
	"math"
	"slices"
)

// Reasons for which a value is not used.
const (
	ofNoUse     = "of an element other than temperature and rain"
	isMissing   = "missing in the file"
	presumed    = "a zero that is only presumed (measurement flag P)"
	repeated    = "repeats a value of the same day"
	tooCold     = "colder than can be"
	tooHot      = "hotter than can be"
	negative    = "rain below zero"
	tooWet      = "more rain than can be"
	crossed     = "minimum above the maximum of its day"
	noSpan      = "multi-day rain without its number of days"
	noTotal     = "number of days without its multi-day rain"
	badSpan     = "multi-day rain over a number of days that cannot be"
	overlapping = "multi-day rain over days that have rain of their own"
)

// value is one element of one day as a file has it.
type value struct {
	day               int // since 1970-01-01
	role              role
	x                 float64 // °C, mm or days
	line              int
	measured, quality byte // flags; noFlag for none
	observed          int  // minutes after midnight; unknownTime where not known
}

// slot is what is known of a day so far.
type slot struct {
	x        [roles]float64
	line     [roles]int // 0: nothing known
	trace    bool
	observed int
}

// builder gathers the values of a file.
type builder struct {
	name, station string
	limits        Limits
	observed      int // for values that do not tell
	days          map[int]*slot
	read          int
	dropped       map[string]int
	measured      map[byte]int
	notes         []string
}

func newBuilder(name string, o Options) (*builder, error) {
	l := o.Limits
	if l == (Limits{}) {
		l = Limits{ColdestC: coldest, HottestC: hottest, WettestMM: wettest}
	}
	if !(l.ColdestC < l.HottestC) || !(l.WettestMM >= 0) || math.IsInf(l.ColdestC, 0) || math.IsInf(l.HottestC, 0) || math.IsInf(l.WettestMM, 0) {
		return nil, fmt.Errorf("limits of weather from %g to %g °C and %g mm: give the coldest below the hottest, and rain not below zero", l.ColdestC, l.HottestC, l.WettestMM)
	}
	at := unknownTime
	if o.ObservedAt != "" {
		var ok bool
		if at, ok = clock(o.ObservedAt); !ok {
			return nil, fmt.Errorf("time of observation %s: give hours and minutes from 0000 to 2400, such as 0700", shown(o.ObservedAt))
		}
	}
	return &builder{name: name, limits: l, observed: at, days: map[int]*slot{}, dropped: map[string]int{}, measured: map[byte]int{}}, nil
}

// sameStation holds a file to one station.
func (b *builder) sameStation(id string, l *lines) error {
	switch {
	case id == "":
		return l.fault("the station has no id", "give the file as NOAA serves it")
	case b.station == "":
		b.station = id
	case b.station != id:
		return l.fault("station "+shown(id)+" follows station "+shown(b.station), "give one station a file")
	}
	return nil
}

func (b *builder) drop(reason string, n int) { b.dropped[reason] += n }

// none counts a value that is not there.
func (b *builder) none() {
	b.read++
	b.drop(isMissing, 1)
}

// other counts a value of an element that is of no use here.
func (b *builder) other() {
	b.read++
	b.drop(ofNoUse, 1)
}

// put takes a value or counts why not. A day that has another one already is
// refused with both lines.
func (b *builder) put(v value) error {
	b.read++
	if reason := b.unfit(v); reason != "" {
		b.drop(reason, 1)
		return nil
	}
	s := b.days[v.day]
	if s == nil {
		s = &slot{observed: unknownTime}
		b.days[v.day] = s
	}
	if s.line[v.role] != 0 {
		if s.x[v.role] != v.x {
			return fault(b.name, fmt.Sprintf("lines %d and %d", s.line[v.role], v.line),
				fmt.Sprintf("%s is given twice for %s, as %.4g and as %.4g", v.role, date(dateOf(v.day)), s.x[v.role], v.x), "keep the right one")
		}
		s.trace = s.trace || v.measured == trace && v.role == rain
		b.drop(repeated, 1)
		return nil
	}
	s.x[v.role], s.line[v.role] = v.x, v.line
	if v.measured != noFlag {
		b.measured[v.measured]++
	}
	switch v.role {
	case rain:
		s.trace = v.measured == trace
	case highest:
		s.observed = v.observed
		if s.observed == unknownTime {
			s.observed = b.observed
		}
	}
	return nil
}

// unfit says why a value is no reading, or nothing.
func (b *builder) unfit(v value) string {
	temperature := v.role == highest || v.role == lowest || v.role == soilWarmth
	wet := v.role == rain || v.role == manyDayRain
	switch {
	case v.quality != noFlag:
		return "failed NOAA's " + failure(v.quality) + " (quality flag " + string(rune(v.quality)) + ")"
	case wet && v.measured == presumedZero:
		return presumed
	case temperature && v.x < b.limits.ColdestC:
		return tooCold
	case temperature && v.x > b.limits.HottestC:
		return tooHot
	case wet && v.x < 0:
		return negative
	case v.role == rain && v.x > b.limits.WettestMM, v.role == manyDayRain && v.x > longestTotal*b.limits.WettestMM:
		return tooWet
	case v.role == spanOfRain && (v.x < 1 || v.x > longestTotal):
		return badSpan
	}
	return ""
}

// finish makes the series.
func (b *builder) finish() (Series, error) {
	s := Series{Name: b.name, Station: b.station}
	numbers := make([]int, 0, len(b.days))
	for n := range b.days {
		numbers = append(numbers, n)
	}
	slices.Sort(numbers)
	s.Totals = b.totals(numbers)
	first, last := b.reach(numbers, s.Totals)
	if first > last {
		return Series{}, fault(b.name, "", "the file holds no temperature and no rain that can be used ("+tally(b.dropped)+")", "give the file of a station with daily values")
	}
	s.Days = make([]Day, last-first+1)
	for i := range s.Days {
		s.Days[i] = b.day(first + i)
		if d := s.Days[i]; d.MaxC.Known {
			s.Observed.count(b.days[first+i].observed)
		}
	}
	s.Gaps = gaps(s)
	used := b.read
	for _, n := range b.dropped {
		used -= n
	}
	s.Counts = Counts{Read: b.read, Used: used, Dropped: b.dropped}
	s.Notes = append(b.notes, b.tell(s)...)
	return s, nil
}

// day is the weather of a day; a minimum above its maximum unmakes both.
func (b *builder) day(number int) Day {
	d := Day{Date: dateOf(number)}
	s := b.days[number]
	if s == nil {
		return d
	}
	get := func(r role) Reading { return Reading{Value: s.x[r], Known: s.line[r] != 0} }
	d.MaxC, d.MinC, d.RainMM, d.SoilC = get(highest), get(lowest), get(rain), get(soilWarmth)
	d.Trace = s.trace && d.RainMM.Known
	if d.MaxC.Known && d.MinC.Known && d.MinC.Value > d.MaxC.Value {
		d.MaxC, d.MinC = Reading{}, Reading{}
		b.drop(crossed, 2)
	}
	return d
}

// totals pairs multi-day rain with its number of days.
func (b *builder) totals(numbers []int) (list []Total) {
	after := math.MinInt
	for _, n := range numbers {
		s := b.days[n]
		has, spans := s.line[manyDayRain] != 0, s.line[spanOfRain] != 0
		from := n - int(s.x[spanOfRain]) + 1
		switch {
		case !has && !spans:
		case !spans:
			b.drop(noSpan, 1)
		case !has:
			b.drop(noTotal, 1)
		case from <= after || b.rained(from, n):
			b.drop(overlapping, 2)
		default:
			list = append(list, Total{From: dateOf(from), To: dateOf(n), RainMM: s.x[manyDayRain]})
			after = n
		}
	}
	return list
}

// rained tells whether a day of the span has rain of its own.
func (b *builder) rained(from, to int) bool {
	for n := from; n <= to; n++ {
		if s := b.days[n]; s != nil && s.line[rain] != 0 {
			return true
		}
	}
	return false
}

// reach is the first and the last day of which something is known.
func (b *builder) reach(numbers []int, totals []Total) (first, last int) {
	first, last = math.MaxInt, math.MinInt
	for _, n := range numbers {
		s := b.days[n]
		if s.line[highest]+s.line[lowest]+s.line[rain]+s.line[soilWarmth] > 0 {
			first, last = min(first, n), max(last, n)
		}
	}
	for _, t := range totals {
		first, last = min(first, dayNumber(t.From)), max(last, dayNumber(t.To))
	}
	return first, last
}
