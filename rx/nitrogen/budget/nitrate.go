package budget

import (
	"fmt"
	"math"
	"strings"

	"ratewright/geo/unit"
)

// Sampled is how and where a soil was sampled in season. The tests hold for a depth of
// 12 in while corn is 6 to 12 in tall.
type Sampled struct {
	Test       unit.PPM     // nitrate-N in the top foot
	CornHeight *unit.Length // nil where it is not known
	Banded     bool         // fertiliser was banded before: a sample may hit or miss it
	FullBefore bool         // the full rate was put down before planting
	Manured    bool         // since the last harvest
	State      string       // postal letters, such as IA; "" where it is not known
}

func (s Sampled) check() error {
	if err := checkPPM("a nitrate test", s.Test); err != nil {
		return err
	}
	if s.State != "" && len(s.State) != 2 {
		return fmt.Errorf("the state is %q; write its two letters, such as IA", s.State)
	}
	if s.CornHeight == nil {
		return nil
	}
	if *s.CornHeight == 0 {
		return fmt.Errorf("a height of corn of 0 is corn that is not up; leave it out where it is not known")
	}
	return bounded("the height of corn", s.CornHeight.Inches(), 0, mostHeight, "in", "check its unit; leave it out where it is not known")
}

// gates say where a test of a state is taken further than it was made for.
func (s Sampled) gates(co Coefficients, b *Budget, state string) {
	if s.State != "" && !strings.EqualFold(s.State, state) {
		b.note("the test was made for %s, and the field lies in %s; ask what holds there", state, s.State)
	}
	if s.CornHeight != nil && !between(s.CornHeight.Inches(), co.TestShortest, co.TestTallest) {
		w := b.words
		b.note("corn %s tall is outside the %s to %s for which the test was made%s", w.Depth(*s.CornHeight), w.DepthNumber(unit.Inches(co.TestShortest)), w.Depth(unit.Inches(co.TestTallest)), co.aside("Iowa State Univ. PM 1714", &co.TestShortest, &co.TestTallest))
	}
	if s.Banded {
		b.note("nitrogen was banded before: samples between bands read low and samples in them high, and the test was not made for that")
	}
	if s.FullBefore {
		b.note("the full rate was applied before planting; the test was not made to add to it")
	}
}

// between tells whether a number lies between two, which are part of it; rounding of a unit
// puts none of them outside.
func between(v, low, high float64) bool { return v >= low*(1-1e-9) && v <= high*(1+1e-9) }

// Iowa is the late-spring test of Iowa, with what the job sets of it.
type Iowa struct {
	Critical *unit.PPM // nil: 25 ppm
	// Cap is the most that it gives; nil: 90 lb/ac, from memory. NoCap: no limit.
	Cap   *unit.NRate
	NoCap bool
}

// critical is the level, with what of it is the job's.
func (p Iowa) critical(co *Coefficients) (unit.PPM, []string) {
	switch {
	case p.Critical == nil:
		return unit.PPM(co.IowaCritical), co.own(&co.IowaCritical)
	case p.Critical.MgPerKg() == iowaCritical:
		return *p.Critical, nil
	}
	return *p.Critical, []string{fmt.Sprintf("critical %g ppm of nitrate-N in place of %d", p.Critical.MgPerKg(), iowaCritical)}
}

// cap is the most that the test gives, with what of it is the job's.
func (p Iowa) cap(co *Coefficients, w words) (unit.NRate, []string) {
	published := unit.LbNPerAcre(iowaCap)
	switch {
	case p.Cap == nil:
		return unit.LbNPerAcre(co.IowaCap), co.own(&co.IowaCap)
	case between(float64(*p.Cap), float64(published), float64(published)):
		return *p.Cap, nil
	}
	return *p.Cap, []string{fmt.Sprintf("cap %s in place of %s", w.NRate(*p.Cap), w.NRate(published))}
}

func (p Iowa) check(w words) error {
	if p.Cap == nil {
		return nil
	}
	if p.NoCap {
		return fmt.Errorf("a cap is given and is none; write one of them")
	}
	if c := float64(*p.Cap); !(c > 0) || math.IsInf(c, 0) {
		return fmt.Errorf("a cap of %s would leave no rate; write the most that may be applied, or none", w.NRate(*p.Cap))
	}
	return nil
}

// LateSpring is N = 8 lb/ac x (critical - test), zero above.
// Source: Iowa State Univ. PM 1714, CROP 3140.
func (co Coefficients) LateSpring(s Sampled, p Iowa) (Budget, error) {
	const source = "Iowa State Univ. PM 1714"
	w := words{co.Units}
	b := Budget{words: w}
	if err := s.check(); err != nil {
		return b, err
	}
	if err := p.check(w); err != nil {
		return b, err
	}
	critical, own := p.critical(&co)
	if err := bounded("a critical level", critical.MgPerKg(), 10, 40, "ppm", "15 to 25 is usual"); err != nil {
		return b, err
	}
	s.gates(co, &b, "IA")
	if s.Manured && critical.MgPerKg() > co.IowaManured {
		b.note("the field was manured, and the critical level was taken as %g ppm: about %g is that of a wet spring (%s), and Iowa State has classes of its own for manured fields, which are not built in", critical.MgPerKg(), co.IowaManured, w.cite(source, "", append(co.own(&co.IowaManured), own...)))
	}
	own = append(co.own(&co.IowaPerPPM), own...)
	b.add(fmt.Sprintf("%s x (%g - %.4g) ppm of nitrate-N", w.perPPM(co.IowaPerPPM), critical.MgPerKg(), s.Test.MgPerKg()),
		unit.LbNPerAcre(co.IowaPerPPM*(critical-s.Test).MgPerKg()), w.cite(source, fmt.Sprintf("%g lb N/ac per ppm", co.IowaPerPPM), own))
	b.floor()
	if most, own := p.cap(&co, w); !p.NoCap {
		b.cap(most, w.cite(source+", the cap from memory", "", own))
	}
	return b.checked()
}

// PennHistory is what Penn State's test asks of a field's history.
type PennHistory struct {
	Manure        bool   // since the last harvest
	EarlierManure bool   // in the three years before
	PreviousCrop  string // corn, soybean, forage legume or other
}

// factor is that of the history, with the coefficients that it is made of.
func (h PennHistory) factor(co *Coefficients) (f float64, used []*float64, err error) {
	used = []*float64{&co.PennNoManure}
	if h.Manure {
		used[0] = &co.PennManure
	}
	if h.EarlierManure {
		used = append(used, &co.PennEarlierManure)
	}
	switch h.PreviousCrop {
	case "corn", "other":
	case "soybean":
		used = append(used, &co.PennSoybean)
	case "forage legume":
		used = append(used, &co.PennForage)
	default:
		return 0, nil, fmt.Errorf("the crop before is %q; Penn State's test knows corn, soybean, forage legume and other", h.PreviousCrop)
	}
	for _, at := range used {
		f += *at
	}
	return f, used, nil
}

// words tells the history that the factor stands for.
func (h PennHistory) words() string {
	now, before := "no manure since the last harvest", "nor in the three years before"
	switch {
	case h.Manure && h.EarlierManure:
		now, before = "manure since the last harvest", "and in the three years before"
	case h.Manure:
		now, before = "manure since the last harvest", "not in the three years before"
	case h.EarlierManure:
		before = "but in the three years before"
	}
	return now + " " + before + ", after " + h.PreviousCrop
}

// PreSidedress is N = 1.1 EY - ppm x H, zero from 21 ppm on; H is 0.75 or, with manure since
// the last harvest, 3.5, and more for manure in the three years before and for the crop
// before.
// Source: Penn State Agronomy Guide, table 1.4-4.
func (co Coefficients) PreSidedress(s Sampled, y unit.Yield, h PennHistory) (Budget, error) {
	const source = "Penn State Agronomy Guide, table 1.4-4"
	w := words{co.Units}
	b := Budget{words: w}
	if err := s.check(); err != nil {
		return b, err
	}
	if err := w.checkYield(y); err != nil {
		return b, err
	}
	factor, used, err := h.factor(&co)
	if err != nil {
		return b, err
	}
	s.gates(co, &b, "PA")
	if s.Test.MgPerKg() >= co.PennCritical*(1-1e-9) {
		b.add(fmt.Sprintf("%s is %g or more: none", ppmText(s.Test), co.PennCritical), 0, w.cite(source, "", co.own(&co.PennCritical)))
		return b, nil
	}
	b.add(w.perYield(co.PennPerBushel)+" x "+w.Yield(y), unit.LbNPerAcre(co.PennPerBushel*y.BushelsPerAcre()), w.cite(source, fmt.Sprintf("%g lb N/bu", co.PennPerBushel), co.own(&co.PennPerBushel)))
	b.add(fmt.Sprintf("%s x %s, %s", ppmText(s.Test), w.perPPM(factor), h.words()), unit.LbNPerAcre(-factor*s.Test.MgPerKg()), w.cite(source, fmt.Sprintf("%g lb N/ac per ppm", factor), co.own(append(used, &co.PennCritical)...)))
	b.floor()
	return b.checked()
}

// ohioClass is one of Ohio State's classes of a test.
type ohioClass struct {
	off   float64 // lb N/ac off the base rate; meaningless where all
	all   bool    // above the last class: nothing is needed
	from  float64 // ppm, above which the class begins; zero for the first
	words string
	used  []*float64 // the coefficients that make it
}

// ohio finds the class of a test.
func (co *Coefficients) ohio(test unit.PPM) ohioClass {
	from := &co.OhioNone
	if between(test.MgPerKg(), 0, *from) {
		return ohioClass{words: fmt.Sprintf("up to %g", *from), used: []*float64{from}}
	}
	for _, class := range []struct{ to, off *float64 }{{&co.OhioLow, &co.OhioLowOff}, {&co.OhioMiddle, &co.OhioMiddleOff}, {&co.OhioHigh, &co.OhioHighOff}} {
		if between(test.MgPerKg(), 0, *class.to) {
			return ohioClass{off: *class.off, from: *from, words: fmt.Sprintf("above %g and up to %g", *from, *class.to), used: []*float64{from, class.to, class.off}}
		}
		from = class.to
	}
	return ohioClass{all: true, from: *from, words: fmt.Sprintf("above %g: none", *from), used: []*float64{from}}
}

// OhioReduction takes off a base rate what the soil has: nothing up to 10 ppm, all above 25.
// Source: Ohio State Univ. 2022 (second-hand).
func (co Coefficients) OhioReduction(s Sampled, base unit.NRate) (Budget, error) {
	const source = "Ohio State Univ. 2022"
	b, err := co.based(s, base, "OH")
	if err != nil {
		return b, err
	}
	class, ppm := co.ohio(s.Test), s.Test.MgPerKg()
	if ppm > class.from && ppm < class.from+1 && class.from > 0 {
		b.note("the classes of the test are printed in whole ppm, such as up to %g and then from %g on: a test of %s, which lies between two of them, was taken for the higher one", class.from, class.from+1, ppmText(s.Test))
	}
	printed, off := fmt.Sprintf("%g lb N/ac", class.off), unit.LbNPerAcre(-class.off)
	if class.all {
		printed, off = "", -b.Rate
	}
	b.add(fmt.Sprintf("a test of %s, %s", ppmText(s.Test), class.words), off, b.words.cite(source, printed, co.own(class.used...)))
	b.floor()
	return b.checked()
}

// ppmText is a test in ppm of nitrate-N.
func ppmText(c unit.PPM) string { return fmt.Sprintf("%.4g ppm of nitrate-N", c.MgPerKg()) }

// IllinoisReduction takes 4 lb/ac off a base rate for each ppm, from 10 ppm on.
// Source: Nafziger, Univ. of Illinois (second-hand).
func (co Coefficients) IllinoisReduction(s Sampled, base unit.NRate) (Budget, error) {
	b, err := co.based(s, base, "IL")
	if err != nil {
		return b, err
	}
	off := 0.0
	if s.Test.MgPerKg() >= co.IllinoisFrom*(1-1e-9) {
		off = co.IllinoisPerPPM * s.Test.MgPerKg()
	}
	b.add(fmt.Sprintf("%s x %s, none below %g", b.words.perPPM(co.IllinoisPerPPM), ppmText(s.Test), co.IllinoisFrom), unit.LbNPerAcre(-off), b.words.cite("Nafziger, Univ. of Illinois", fmt.Sprintf("%g lb N/ac per ppm", co.IllinoisPerPPM), co.own(&co.IllinoisPerPPM, &co.IllinoisFrom)))
	b.floor()
	return b.checked()
}

func (co Coefficients) based(s Sampled, base unit.NRate, state string) (Budget, error) {
	b := Budget{words: words{co.Units}}
	if err := s.check(); err != nil {
		return b, err
	}
	if v := base.LbNPerAcre(); !between(v, 0, mostBase) {
		return b, fmt.Errorf("a base rate of %s cannot be: it lies between zero and %s; check its unit", b.words.NRate(base), b.words.NRate(unit.LbNPerAcre(mostBase)))
	}
	s.gates(co, &b, state)
	if s.Manured {
		b.note("the field was manured; the published reductions say nothing of manured fields")
	}
	b.add("rate without a test", base, "given in the job")
	return b, nil
}
