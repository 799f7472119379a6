package asapplied

import (
	"cmp"
	"slices"
)

// dedupe drops records that repeat an earlier one of the same stamp in every
// value.
func (t *track) dedupe(drives []Drive, c *counts) {
	kept := t.fixes[:0]
	var r repeats
	for i := 0; i < len(t.fixes); {
		end := i + 1
		for end < len(t.fixes) && t.timeNS(drives, end) == t.timeNS(drives, i) {
			end++
		}
		stamp := t.fixes[i:end]
		i = end
		if len(stamp) == 1 {
			kept = append(kept, stamp[0])
			continue
		}
		again := r.find(len(stamp), func(i, j int32) int { return compareRecords(drives, &stamp[i], &stamp[j]) })
		for k := range stamp {
			if again[k] {
				c.drop(DropDuplicate, 1)
				continue
			}
			kept = append(kept, stamp[k])
		}
	}
	t.fixes = kept
}

// repeats finds what there is twice. It sorts, for where the time of a log is a date
// all records of a day have one stamp.
type repeats struct {
	order []int32
	again []bool
}

// find tells of each of n items whether it is equal to an earlier one.
func (r *repeats) find(n int, compare func(i, j int32) int) []bool {
	r.order, r.again = r.order[:0], slices.Grow(r.again[:0], n)[:n]
	for i := range n {
		r.order = append(r.order, int32(i))
	}
	slices.SortFunc(r.order, func(i, j int32) int { return cmp.Or(compare(i, j), cmp.Compare(i, j)) })
	for k, i := range r.order {
		r.again[i] = k > 0 && compare(r.order[k-1], i) == 0
	}
	return r.again
}

// compareRecords orders two records by place and values.
func compareRecords(drives []Drive, a, b *fix) int {
	if c := cmp.Or(cmp.Compare(a.at[0], b.at[0]), cmp.Compare(a.at[1], b.at[1])); c != 0 {
		return c
	}
	return compareValues(&drives[a.log].Log, int(a.rec), &drives[b.log].Log, int(b.rec))
}

// compareValues orders two records of logs by every value that is put to use; 0
// where they agree in all, no value agreeing with no value.
func compareValues(a *Log, i int, b *Log, j int) int {
	for _, col := range [...][2][]float64{
		{a.Heading, b.Heading},
		{a.Width, b.Width},
		{a.Flow, b.Flow},
		{a.Duration, b.Duration},
		{a.Distance, b.Distance},
		{a.Product, b.Product},
		{a.Target, b.Target},
	} {
		if c := cmp.Compare(valueAt(col[0], i), valueAt(col[1], j)); c != 0 {
			return c
		}
	}
	for _, lanes := range [...][2]Lanes{{a.Rate, b.Rate}, {a.Depth, b.Depth}} {
		if c := slices.Compare(lanes[0].Row(i), lanes[1].Row(j)); c != 0 {
			return c
		}
	}
	return cmp.Or(
		cmp.Compare(a.workingAt(i), b.workingAt(j)),
		cmp.Compare(a.Sections.N, b.Sections.N),
		slices.Compare(a.Sections.Row(i), b.Sections.Row(j)),
	)
}

// workingAt is what a record says of its work as in Working, -2 in a log that never
// does.
func (l *Log) workingAt(i int) int8 {
	if l.Working == nil {
		return -2
	}
	return l.Working[i]
}
