package page

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"errors"
	"math"
	"slices"
)

// The columns of packed strides, in their order.
const (
	colJoins = iota
	colBack  // left x, left y, right x, right y
	_
	_
	_
	colFrontLeft // x, y
	_
	colFrontRight // x, y
	_
	colFrom
	colLength
	colTime
	colRate
	colDepth
	columns
)

// Limits keep what the script adds up within the integers it can read. Further off
// than 1,300 km is no field, and there what is drawn stops.
const (
	maxCM         = 1 << 27
	maxThousandth = 1<<30 - 1
	maxHundredth  = 1 << 29
	maxTenth      = 1 << 45 // seconds: past the year 100,000
)

// deflateLevel pays: see BenchmarkPack. The next levels take twice the time and
// more for some percent of the size.
const deflateLevel = flate.BestSpeed

var errStride = errors.New("page: a stride is not finite")

// Tracks takes in the ways of machines, stride by stride, and keeps them packed: a
// dozen bytes a stride.
type Tracks struct {
	p        packer
	machines []string
	first    []uint32 // stride of each
	n        uint32
	err      error // of the first stride that cannot be packed
}

// Add takes in the next stride of a machine: those of one machine after another, each
// in the order of time.
func (t *Tracks) Add(machine string, s Stride) {
	if k := len(t.machines); k == 0 || t.machines[k-1] != machine {
		t.machines, t.first = append(t.machines, machine), append(t.first, t.n)
		t.p.firstDone = false
	}
	if err := t.p.add(&s); err != nil && t.err == nil {
		t.err = err
	}
	t.n++
}

// packTracks writes the strides as columns of variable-length integers and deflates
// them. Lengths are in cm, the odometer in thousandths, times in tenths of a second,
// rates and depths in hundredths of their unit; each stands as the difference from
// what the stride before makes likely. Differences run on from track to track.
func packTracks(t *Tracks) ([]byte, error) {
	if t == nil {
		t = &Tracks{}
	}
	if t.err != nil {
		return nil, t.err
	}
	raw := t.columns()
	var out bytes.Buffer
	out.Grow(len(raw) / 2)
	w, err := flate.NewWriter(&out, deflateLevel)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(raw); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// packer holds what the next stride is told by its difference from.
type packer struct {
	cols      [columns][]byte
	start     [4]int64 // back corners of the last stride that joined none
	back      [2]int64 // back left of the stride before
	front     [4]int64 // front left and right of the stride before
	to        int64    // its end on the odometer
	last      [columns]int64
	known     [columns]bool
	firstDone bool
}

func (t *Tracks) columns() []byte {
	raw := binary.LittleEndian.AppendUint32(nil, t.n)
	raw = binary.LittleEndian.AppendUint32(raw, uint32(len(t.first)))
	for _, first := range t.first {
		raw = binary.LittleEndian.AppendUint32(raw, first)
	}
	size := len(raw)
	for _, c := range t.p.cols {
		size += 4 + len(c)
	}
	raw = slices.Grow(raw, size)
	for i, c := range t.p.cols {
		if i >= colTime && !t.p.known[i] {
			c = nil // all unknown
		}
		raw = binary.LittleEndian.AppendUint32(raw, uint32(len(c)))
		raw = append(raw, c...)
	}
	return raw
}

func (p *packer) add(s *Stride) error {
	var q [8]int64 // back left, back right, front right, front left
	for i, c := range s.Quad {
		x, ok := scaled(float64(c[0]), 100, maxCM)
		y, ok2 := scaled(float64(c[1]), 100, maxCM)
		if !ok || !ok2 {
			return errStride
		}
		q[2*i], q[2*i+1] = x, y
	}
	from, ok := scaled(s.From, 1000, maxThousandth)
	to, ok2 := scaled(s.To, 1000, maxThousandth)
	if !ok || !ok2 {
		return errStride
	}
	back := [4]int64{q[0], q[1], q[2], q[3]}
	guess := [2]int64{q[0], q[1]}
	if p.firstDone && back == p.front {
		p.cols[colJoins] = append(p.cols[colJoins], 1)
		guess[0] += q[0] - p.back[0]
		guess[1] += q[1] - p.back[1]
	} else {
		p.cols[colJoins] = append(p.cols[colJoins], 0)
		for i, v := range back {
			p.signed(colBack+i, v-p.start[i])
		}
		p.start = back
	}
	for i := range 2 {
		left, right := q[6+i], q[4+i]
		p.signed(colFrontLeft+i, left-guess[i])
		p.signed(colFrontRight+i, right-(left+q[2+i]-q[i]))
	}
	p.signed(colFrom, from-p.to)
	p.signed(colLength, to-from)
	p.maybe(colTime, s.Time, 10, maxTenth)
	p.maybe(colRate, float64(s.Rate), 100, maxHundredth)
	p.maybe(colDepth, float64(s.Depth), 100, maxHundredth)
	p.back = [2]int64{q[0], q[1]}
	p.front = [4]int64{q[6], q[7], q[4], q[5]}
	p.to, p.firstDone = to, true
	return nil
}

// signed appends a signed integer as an unsigned one: 0, -1, 1, -2 as 0, 1, 2, 3.
func (p *packer) signed(col int, v int64) { p.unsigned(col, zigzag(v)) }

func (p *packer) unsigned(col int, u uint64) {
	if u < 0x80 {
		p.cols[col] = append(p.cols[col], byte(u))
		return
	}
	p.cols[col] = binary.AppendUvarint(p.cols[col], u)
}

// maybe appends a value that may be unknown: 0, or one more than its difference from
// the last known.
func (p *packer) maybe(col int, v, parts float64, limit int64) {
	n, ok := scaled(v, parts, limit)
	if !ok {
		p.cols[col] = append(p.cols[col], 0)
		return
	}
	p.unsigned(col, 1+zigzag(n-p.last[col]))
	p.last[col], p.known[col] = n, true
}

func zigzag(v int64) uint64 { return uint64(v<<1) ^ uint64(v>>63) }

// scaled returns v in parts, rounded half away from zero and held within a limit;
// false where v is no number.
func scaled(v, parts float64, limit int64) (int64, bool) {
	v *= parts
	l := float64(limit)
	switch {
	case v >= 0:
		v += 0.5
		if v > l {
			return limit, !math.IsInf(v, 0)
		}
		return int64(v), true
	case v < 0:
		v -= 0.5
		if v < -l {
			return -limit, !math.IsInf(v, 0)
		}
		return int64(v), true
	}
	return 0, false
}
