package asapplied

import "math"

// parts are the runs of neighbouring cells of a bar that are on and equal in
// rate and depth, each as one cell. As long as the sections stay as they are and
// rate and depth are those of the whole bar, so do the parts.
type parts struct {
	cells []cell
	log   int32
	word  uint64
	kept  bool
}

// of returns the parts of record v.
func (p *parts) of(n int32, log *Log, v int, cells []cell) []cell {
	simple := log.Sections.Stride() <= 1 && log.Rate.N <= 1 && log.Depth.N <= 1
	var word uint64
	if simple && log.Sections.N > 0 {
		word = log.Sections.Words[v]
	}
	if simple && p.kept && p.log == n && p.word == word {
		return p.cells
	}
	p.cells, p.log, p.word, p.kept = p.cells[:0], n, word, simple
	for i := 0; i < len(cells); {
		j := i + 1
		for j < len(cells) && log.sameCell(v, cells[i], cells[j]) {
			j++
		}
		if log.cellOn(v, cells[i]) {
			c := cells[i]
			c.to = cells[j-1].to
			p.cells = append(p.cells, c)
		}
		i = j
	}
	return p.cells
}

// cellOn tells whether a cell puts anything down.
func (l *Log) cellOn(v int, c cell) bool {
	if c.section >= 0 && !l.Sections.On(v, c.section) {
		return false
	}
	if l.Flow != nil || c.rate < 0 {
		return true
	}
	return l.Rate.Row(v)[c.rate] > 0
}

func (l *Log) cellRate(v int, c cell) float64 {
	if c.rate < 0 {
		return math.NaN()
	}
	return l.Rate.Row(v)[c.rate]
}

func (l *Log) cellDepth(v int, c cell) float64 {
	if c.depth < 0 {
		return math.NaN()
	}
	return l.Depth.Row(v)[c.depth]
}

// sameCell tells whether two cells are equal in state, rate and depth.
func (l *Log) sameCell(v int, a, b cell) bool {
	return l.cellOn(v, a) == l.cellOn(v, b) &&
		equalOrNaN(l.cellRate(v, a), l.cellRate(v, b)) &&
		equalOrNaN(l.cellDepth(v, a), l.cellDepth(v, b))
}
