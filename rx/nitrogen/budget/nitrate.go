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
	Test       unit.PPM    // nitrate-N in the top foot
	CornHeight unit.Length // 0 where it is not known
	Banded     bool        // fertiliser was banded before: a sample may hit or miss it
	FullBefore bool        // the full rate was put down before planting
	Manured    bool        // since the last harvest
	State      string      // postal letters, such as IA; "" where it is not known
}

func (s Sampled) check() error {
	if err := checkPPM("a nitrate test", s.Test); err != nil {
		return err
	}
	if s.State != "" && len(s.State) != 2 {
		return fmt.Errorf("the state is %q; write its two letters, such as IA", s.State)
	}
	return bounded("the height of corn", s.CornHeight.Inches(), 0, mostHeight, "in", "check its unit; leave it out where it is not known")
}

// gates say where a test of a state is taken further than it was made for.
func (s Sampled) gates(co Coefficients, b *Budget, state string) {
	if s.State != "" && !strings.EqualFold(s.State, state) {
		b.note("the test was made for %s, and the field lies in %s; ask what holds there", state, s.State)
	}
	if h := s.CornHeight.Inches(); h > 0 && (h < co.TestShortest || h > co.TestTallest) {
		w := b.words
		b.note("corn %s tall is outside the %s to %s for which the test was made", w.Depth(s.CornHeight), w.DepthNumber(unit.Inches(co.TestShortest)), w.Depth(unit.Inches(co.TestTallest)))
	}
	if s.Banded {
		b.note("nitrogen was banded before: samples between bands read low and samples in them high, and the test was not made for that")
	}
	if s.FullBefore {
		b.note("the full rate was put down before planting; the test was not made to add to it")
	}
}

// Iowa is the late-spring test of Iowa.
type Iowa struct {
	Critical unit.PPM // 0: 25 ppm
	// Cap is the most that it gives; 0: 90 lb/ac, from memory. Negative: none.
	Cap unit.NRate
}

// LateSpring is N = 8 lb/ac x (critical - test), zero above.
// Source: Iowa State Univ. PM 1714, CROP 3140.
func (co Coefficients) LateSpring(s Sampled, p Iowa) (Budget, error) {
	const source = "Iowa State Univ. PM 1714"
	w := words{co.Units}
	b := Budget{words: w}
	if p.Critical == 0 {
		p.Critical = unit.PPM(co.IowaCritical)
	}
	if p.Cap == 0 {
		p.Cap = unit.LbNPerAcre(co.IowaCap)
	}
	if err := s.check(); err != nil {
		return b, err
	}
	if c := float64(p.Cap); math.IsNaN(c) || math.IsInf(c, 0) {
		return b, fmt.Errorf("a cap of %v cannot be; write a rate, or none", p.Cap)
	}
	if err := bounded("a critical level", p.Critical.MgPerKg(), 10, 40, "ppm", "15 to 25 is usual"); err != nil {
		return b, err
	}
	s.gates(co, &b, "IA")
	if s.Manured && p.Critical.MgPerKg() > co.IowaManured {
		b.note("the field was manured, and the critical level was taken as %g ppm: Iowa State takes about %g in a wet spring, and has classes of its own for manured fields, which are not built in", p.Critical.MgPerKg(), co.IowaManured)
	}
	b.add(fmt.Sprintf("%s x (%g - %.4g) ppm of nitrate-N", w.perPPM(co.IowaPerPPM), p.Critical.MgPerKg(), s.Test.MgPerKg()),
		unit.LbNPerAcre(co.IowaPerPPM*(p.Critical-s.Test).MgPerKg()), w.published(source, fmt.Sprintf("%g lb N/ac per ppm", co.IowaPerPPM)))
	b.floor()
	if p.Cap > 0 {
		b.cap(p.Cap, source+" (the cap from memory)")
	}
	return b.checked()
}

// PennHistory is what Penn State's test asks of a field's history.
type PennHistory struct {
	Manure        bool   // since the last harvest
	EarlierManure bool   // in the three years before
	PreviousCrop  string // corn, soybean, forage legume or other
}

func (h PennHistory) factor(co Coefficients) (float64, error) {
	f := co.PennNoManure
	if h.Manure {
		f = co.PennManure
	}
	if h.EarlierManure {
		f += co.PennEarlierManure
	}
	switch h.PreviousCrop {
	case "corn", "other":
		return f, nil
	case "soybean":
		return f + co.PennSoybean, nil
	case "forage legume":
		return f + co.PennForage, nil
	}
	return 0, fmt.Errorf("the crop before is %q; Penn State's test knows corn, soybean, forage legume and other", h.PreviousCrop)
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
	factor, err := h.factor(co)
	if err != nil {
		return b, err
	}
	s.gates(co, &b, "PA")
	if s.Test.MgPerKg() >= co.PennCritical {
		b.add(fmt.Sprintf("%g ppm of nitrate-N is %g or more: none", s.Test.MgPerKg(), co.PennCritical), 0, source)
		return b, nil
	}
	b.add(w.perYield(co.PennPerBushel)+" x "+w.Yield(y), unit.LbNPerAcre(co.PennPerBushel*y.BushelsPerAcre()), w.published(source, fmt.Sprintf("%g lb N/bu", co.PennPerBushel)))
	b.add(fmt.Sprintf("%g ppm of nitrate-N x %s, %s", s.Test.MgPerKg(), w.perPPM(factor), h.words()), unit.LbNPerAcre(-factor*s.Test.MgPerKg()), w.published(source, fmt.Sprintf("%g lb N/ac per ppm", factor)))
	b.floor()
	return b.checked()
}

// ohioOff is what Ohio State's classes take off a base rate; all where the test is
// above the last class.
func (co Coefficients) ohioOff(test unit.PPM) (lb float64, all bool) {
	switch {
	case test.MgPerKg() <= co.OhioNone:
		return 0, false
	case test.MgPerKg() <= co.OhioLow:
		return co.OhioLowOff, false
	case test.MgPerKg() <= co.OhioMiddle:
		return co.OhioMiddleOff, false
	case test.MgPerKg() <= co.OhioHigh:
		return co.OhioHighOff, false
	}
	return 0, true
}

// OhioReduction takes off a base rate what the soil has: nothing up to 10 ppm, all above 25.
// Source: Ohio State Univ. 2022 (second-hand).
func (co Coefficients) OhioReduction(s Sampled, base unit.NRate) (Budget, error) {
	const source = "Ohio State Univ. 2022"
	b, err := co.based(s, base, "OH")
	if err != nil {
		return b, err
	}
	off, all := co.ohioOff(s.Test)
	if all {
		b.add(fmt.Sprintf("a test of %g ppm of nitrate-N is above %g: none", s.Test.MgPerKg(), co.OhioHigh), -b.Rate, source)
		b.Rate = 0
		return b.checked()
	}
	b.add(fmt.Sprintf("a test of %g ppm of nitrate-N", s.Test.MgPerKg()), unit.LbNPerAcre(-off), b.words.published(source, fmt.Sprintf("%g lb N/ac", off)))
	b.floor()
	return b.checked()
}

// IllinoisReduction takes 4 lb/ac off a base rate for each ppm, from 10 ppm on.
// Source: Nafziger, Univ. of Illinois (second-hand).
func (co Coefficients) IllinoisReduction(s Sampled, base unit.NRate) (Budget, error) {
	b, err := co.based(s, base, "IL")
	if err != nil {
		return b, err
	}
	off := 0.0
	if s.Test.MgPerKg() >= co.IllinoisFrom {
		off = co.IllinoisPerPPM * s.Test.MgPerKg()
	}
	b.add(fmt.Sprintf("%s x %g ppm of nitrate-N, none below %g", b.words.perPPM(co.IllinoisPerPPM), s.Test.MgPerKg(), co.IllinoisFrom), unit.LbNPerAcre(-off), b.words.published("Nafziger, Univ. of Illinois", fmt.Sprintf("%g lb N/ac per ppm", co.IllinoisPerPPM)))
	b.floor()
	return b.checked()
}

func (co Coefficients) based(s Sampled, base unit.NRate, state string) (Budget, error) {
	b := Budget{words: words{co.Units}}
	if err := s.check(); err != nil {
		return b, err
	}
	if v := base.LbNPerAcre(); !(v >= 0 && v <= mostBase) {
		return b, fmt.Errorf("a base rate of %s cannot be: it lies between zero and %s; check its unit", b.words.NRate(base), b.words.NRate(unit.LbNPerAcre(mostBase)))
	}
	s.gates(co, &b, state)
	if s.Manured {
		b.note("the field was manured; the published reductions say nothing of manured fields")
	}
	b.add("rate without a test", base, "given in the job")
	return b, nil
}
