package surface

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// places drops what is no number, takes the mean of samples at one place, and puts the
// rest into an order of their own, so that the order given does not matter.
func (s *Surface) places(samples []Sample, o Options) []Sample {
	var kept, out []Sample
	var bad, same []string
	for _, p := range samples {
		if p.usable() {
			kept = append(kept, p)
		} else {
			bad = append(bad, p.ID)
		}
	}
	slices.SortFunc(kept, func(a, b Sample) int {
		return cmp.Or(cmp.Compare(a.At[0], b.At[0]), cmp.Compare(a.At[1], b.At[1]), cmp.Compare(a.Value, b.Value), cmp.Compare(a.ID, b.ID))
	})
	var counts []float64
	from, joined := 0, 0 // from the first place that may still be near enough: they go from west to east
	for _, p := range kept {
		for from < len(out) && p.At[0]-out[from].At[0] > o.SamePlaceM {
			from++
		}
		i := slices.IndexFunc(out[from:], func(q Sample) bool { return dist(p.At, q.At) <= o.SamePlaceM })
		if i < 0 {
			out, counts = append(out, p), append(counts, 1)
			continue
		}
		i += from
		counts[i]++
		out[i].Value += (p.Value - out[i].Value) / counts[i]
		same = append(same, out[i].ID, p.ID)
		joined++
	}
	if len(bad) > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("%d of %d samples have no value or no place and are left out%s", len(bad), len(samples), named(bad)))
	}
	if joined > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("%d samples lie at the place of another; their mean was taken%s", joined, named(same)))
	}
	return out
}

// usable reports whether value and place are numbers whose squares are, too.
func (p Sample) usable() bool {
	const mostValue, mostMetres = 1e100, 1e8
	return math.Abs(p.Value) < mostValue && math.Abs(p.At[0]) < mostMetres && math.Abs(p.At[1]) < mostMetres
}

// beyond refuses samples that lie outside the limits.
func beyond(samples []Sample, o Options) error {
	if !(o.Low <= o.High) {
		return fmt.Errorf("the limits of values, %g to %g, are none", o.Low, o.High)
	}
	var ids []string
	for _, p := range samples {
		if p.Value < o.Low || p.Value > o.High {
			ids = append(ids, strings.TrimSpace(fmt.Sprintf("%s %g", p.ID, p.Value)))
		}
	}
	if len(ids) > 0 {
		return fmt.Errorf("%d of %d samples have a value that is not within %g to %g%s", len(ids), len(samples), o.Low, o.High, named(ids))
	}
	return nil
}

// named lists some samples that have a name, after a colon.
func named(ids []string) string {
	const show = 6
	ids = slices.DeleteFunc(slices.Clone(ids), func(id string) bool { return id == "" })
	slices.Sort(ids)
	ids = slices.Compact(ids)
	switch {
	case len(ids) == 0:
		return ""
	case len(ids) > show:
		return fmt.Sprintf(": %s and %d more", strings.Join(ids[:show], ", "), len(ids)-show)
	}
	return ": " + strings.Join(ids, ", ")
}
