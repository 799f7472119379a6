package weather

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// unknownTime stands where no time of observation is given.
const unknownTime = -maxMinutes

// maxMinutes is the end of the day.
//
// Source: 24 hours.
// Range: 1440.
// Unit: min.
const maxMinutes = 1440

// clock reads hours and minutes from 0000 to 2400, with or without a colon.
func clock(s string) (minutes int, ok bool) {
	if len(s) == 5 && s[2] == ':' {
		s = s[:2] + s[3:]
	}
	n, err := strconv.ParseUint(s, 10, 16)
	if err != nil || len(s) != 4 || n%100 > 59 || n > 2400 {
		return 0, false
	}
	return int(n/100*60 + n%100), true
}

// count puts a maximum to its time of observation.
func (o *Observed) count(minutes int) {
	switch {
	case minutes == unknownTime:
		o.Unknown++
	case minutes > 0 && minutes <= 12*60:
		o.Morning++
	default:
		o.Later++
	}
}

// gaps lists the runs of days without temperature, then those without rain, of what
// the file has at all.
func gaps(s Series) []Gap {
	covered := map[int]bool{}
	for _, t := range s.Totals {
		for n := dayNumber(t.From); n <= dayNumber(t.To); n++ {
			covered[n] = true
		}
	}
	hasRain := len(s.Totals) > 0 || slices.ContainsFunc(s.Days, func(d Day) bool { return d.RainMM.Known })
	list := runs(s.Days, "temperature", slices.ContainsFunc(s.Days, warmth), warmth)
	return append(list, runs(s.Days, "rain", hasRain, func(d Day) bool { return d.RainMM.Known || covered[dayNumber(d.Date)] })...)
}

// warmth tells whether both temperatures of a day are known.
func warmth(d Day) bool { return d.MaxC.Known && d.MinC.Known }

func runs(days []Day, what string, any bool, known func(Day) bool) (list []Gap) {
	open := false
	for _, d := range days {
		switch {
		case !any || known(d):
			open = false
		case open:
			list[len(list)-1].To = d.Date
			list[len(list)-1].Days++
		default:
			list = append(list, Gap{What: what, From: d.Date, To: d.Date, Days: 1})
			open = true
		}
	}
	return list
}

// tell puts what the user must know into words.
func (b *builder) tell(s Series) (notes []string) {
	for _, reason := range slices.Sorted(maps.Keys(b.dropped)) {
		if reason != ofNoUse {
			notes = append(notes, fmt.Sprintf("%s: %s not used: %s", b.name, several(b.dropped[reason], "value"), reason))
		}
	}
	notes = append(notes, b.tellFlags()...)
	notes = append(notes, b.tellGaps(s)...)
	for _, t := range s.Totals {
		notes = append(notes, fmt.Sprintf("%s: %.1f mm of rain from %s to %s were measured at once; they are not spread over the days", b.name, t.RainMM, date(t.From), date(t.To)))
	}
	return append(notes, b.tellTemperature(s)...)
}

func (b *builder) tellFlags() (notes []string) {
	for _, flag := range slices.Sorted(maps.Keys(b.measured)) {
		what := "with measurement flag " + shown(string(rune(flag))) + ", which says nothing of temperature or rain"
		switch flag {
		case trace:
			what = "of rain a trace, counted as 0 mm"
		case twoTotals:
			what = "of rain formed from two 12-hour totals"
		case fourTotals:
			what = "of rain formed from four 6-hour totals"
		case hourly:
			what = "of temperature taken from hourly readings, not from the whole day"
		case lagged:
			what = "of temperature that may lag behind the time of observation"
		}
		notes = append(notes, fmt.Sprintf("%s: %s %s", b.name, several(b.measured[flag], "value"), what))
	}
	return notes
}

func (b *builder) tellGaps(s Series) (notes []string) {
	for _, what := range []string{"temperature", "rain"} {
		var named []string
		days := 0
		for _, g := range s.Gaps {
			if g.What != what {
				continue
			}
			days += g.Days
			text := date(g.From)
			if g.Days > 1 {
				text += " to " + date(g.To)
			}
			named = append(named, text)
		}
		if len(named) == 0 {
			continue
		}
		more := ""
		if n := len(named) - listed; n > 0 {
			more = " and " + several(n, "more span")
			named = named[:listed]
		}
		notes = append(notes, fmt.Sprintf("%s: no %s on %s: %s%s", b.name, what, several(days, "day"), strings.Join(named, ", "), more))
	}
	return notes
}

// tellTemperature says what is uncertain in the temperatures of the whole file. A day
// shifted moves a sum of degree days by one day's at either end; by the 86/50 °F
// method a day has at most 36.
func (b *builder) tellTemperature(s Series) (notes []string) {
	o := s.Observed
	all := o.Morning + o.Later + o.Unknown
	if all == 0 {
		return []string{b.name + ": no maximum temperature"}
	}
	const sum = "a sum of degree days to a date is uncertain by one day's, at most 36 (°F, 86/50)"
	if o.Morning > 0 {
		notes = append(notes, fmt.Sprintf("%s: %d of %d maxima were read in the morning: most are of the day before their date, and rain under a date fell mostly before it; %s", b.name, o.Morning, all, sum))
	}
	if o.Unknown > 0 {
		notes = append(notes, fmt.Sprintf("%s: the time of observation of %d of %d maxima is not known; read in the morning they are of the day before their date: %s", b.name, o.Unknown, all, sum))
	}
	top := b.limits.ColdestC
	for _, d := range s.Days {
		if d.MaxC.Known {
			top = max(top, d.MaxC.Value)
		}
	}
	if all >= manyDays && top < warmEnough {
		notes = append(notes, fmt.Sprintf("%s: the hottest of %d days has %.1f °C, too cold for corn; check the unit of the temperatures", b.name, all, top))
	}
	return notes
}

// tally lists reasons with their counts.
func tally(counts map[string]int) string {
	if len(counts) == 0 {
		return "it has no values"
	}
	parts := make([]string, 0, len(counts))
	for _, reason := range slices.Sorted(maps.Keys(counts)) {
		parts = append(parts, fmt.Sprintf("%d: %s", counts[reason], reason))
	}
	return strings.Join(parts, "; ")
}

// several is a count with its word: "1 day", "3 days".
func several(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return strconv.Itoa(n) + " " + word + "s"
}
