package asapplied

import (
	"cmp"
	"fmt"
	"math"
	"strings"
)

// limits says which numbers a role can have; others count as no value.
type limits uint8

const (
	anyNumber limits = iota
	notNegative
	compass   // an angle, brought into [0, 360)
	rateable  // kg N/ha from 0 to maxNRate
	knifeable // m from 0 to maxDepthM
	pumpable  // kg N/s from 0 to maxFlow
)

// Beyond these a value is a mark for "none" or a wrong unit and not a measurement:
// no crop is given a tenth of the one, no knife goes half as deep as the other
// (common practice). The flow is that rate from a bar of 60 m at 30 m/s.
const (
	maxNRate  = 2000
	maxDepthM = 2
	maxFlow   = maxNRate / 1e4 * 60 * 30
)

// tally counts the values that a column lacks, for a note.
type tally struct {
	role, name         string
	lane               int // place in a list, from the left
	empty, odd, beyond int
	firstOdd           int // line of the first value that is not readable
	firstBeyond        int // line of the first that is out of range
}

// notReadable counts a value.
func (t *tally) notReadable(line int) { t.odd, t.firstOdd = t.odd+1, cmp.Or(t.firstOdd, line) }

// outOfRange counts a value.
func (t *tally) outOfRange(line int) {
	t.beyond, t.firstBeyond = t.beyond+1, cmp.Or(t.firstBeyond, line)
}

// add counts what a later part of the file lacks.
func (t *tally) add(later tally) {
	t.empty += later.empty
	t.odd += later.odd
	t.beyond += later.beyond
	t.firstOdd, t.firstBeyond = cmp.Or(t.firstOdd, later.firstOdd), cmp.Or(t.firstBeyond, later.firstBeyond)
}

// lack is the tally as it stands in a log.
func (t *tally) lack() Lack {
	return Lack{Role: t.role, Column: Shown(t.name), lane: t.lane, NotReadable: t.odd, OutOfRange: t.beyond, Empty: t.empty}
}

// note says how many values were missing, or nothing.
func (t *tally) note(about *tableInfo) string {
	n := t.odd + t.beyond
	if n == 0 {
		return ""
	}
	var why []string
	if t.odd > 0 {
		why = append(why, fmt.Sprintf("%d not readable, first at %s %d", t.odd, about.place, t.firstOdd))
	}
	if t.beyond > 0 {
		why = append(why, fmt.Sprintf("%d out of range, first at %s %d", t.beyond, about.place, t.firstBeyond))
	}
	return fmt.Sprintf("%s: column %q (%s): %d values could not be used (%s) and count as none; %d more are empty",
		about.path, t.name, t.role, n, strings.Join(why, "; "), t.empty)
}

// numberFill appends one number a record.
type numberFill struct {
	tally
	col    int
	factor float64
	limits limits
	point  byte
	dst    *[]float64
	lanes  int // how many fills share dst
}

func (f *numberFill) fill(w *row) {
	*f.dst = append(*f.dst, f.value(w))
}

func (f *numberFill) value(w *row) float64 {
	b := w.cells.at(f.col)
	v, ok := parseNumber(b, f.point)
	if !ok {
		if len(trim(b)) == 0 {
			f.empty++
		} else {
			f.notReadable(w.line)
		}
		return math.NaN()
	}
	v *= f.factor
	switch f.limits {
	case notNegative:
		ok = v >= 0
	case rateable:
		ok = v >= 0 && v <= maxNRate
	case knifeable:
		ok = v >= 0 && v <= maxDepthM
	case pumpable:
		ok = v >= 0 && v <= maxFlow
	case compass:
		ok = v >= -360 && v <= 720
		if v < 0 || v >= 360 {
			v = turned(v)
		}
	}
	if !ok || math.IsInf(v, 0) {
		f.outOfRange(w.line)
		return math.NaN()
	}
	return v
}

// turned brings an angle into [0, 360).
func turned(deg float64) float64 {
	deg = math.Mod(deg, 360)
	if deg < 0 {
		deg += 360
	}
	if deg >= 360 { // a negative too small to matter
		return 0
	}
	return deg
}

// workFill appends the working mark.
type workFill struct {
	tally
	col    int
	errors int
	dst    *[]int8
}

func (f *workFill) fill(w *row) {
	b := w.cells.at(f.col)
	state, ok := parseState(b)
	mark := int8(state)
	switch {
	case ok && state == stateError:
		f.errors++
		mark = 0
	case ok:
	case len(trim(b)) == 0:
		f.empty++
		mark = -1
	default:
		f.notReadable(w.line)
		mark = -1
	}
	*f.dst = append(*f.dst, mark)
}

// labelFill appends text, each different one stored once.
type labelFill struct {
	col  int
	dst  *[]string
	seen map[string]string
}

func (f *labelFill) fill(w *row) {
	b := trim(w.cells.at(f.col))
	s, ok := f.seen[string(b)]
	if !ok {
		s = string(b)
		f.seen[s] = s
	}
	*f.dst = append(*f.dst, s)
}

// fixFill reads the quality of a position. It appends apart from reading, for
// a record without position is dropped first.
type fixFill struct {
	tally
	col int
}

func (f *fixFill) value(w *row) int8 {
	b := w.cells.at(f.col)
	v, ok := parseFix(b)
	if ok {
		return int8(v)
	}
	if len(trim(b)) == 0 {
		f.empty++
	} else {
		f.notReadable(w.line)
	}
	return -1
}
