package cluster

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// points are standardised cells: of each the value of every layer, one after another.
type points struct {
	values []float64
	layers int
}

func (x points) count() int           { return len(x.values) / x.layers }
func (x points) at(i int) []float64   { return x.values[i*x.layers : (i+1)*x.layers] }
func (x points) of(list []int) points { return points{gather(x, list), x.layers} }

func gather(x points, list []int) []float64 {
	var values []float64
	for _, i := range list {
		values = append(values, x.at(i)...)
	}
	return values
}

func distance2(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		d := v - b[i]
		sum += d * d
	}
	return sum
}

// drawn are the cells from which the starts are made: all, but for very many.
func (r *Result) drawn(x points, o Options) points {
	n := x.count()
	most := max(o.Drawn, 1)
	if n <= most {
		return x
	}
	r.Notes = append(r.Notes, fmt.Sprintf("%d of %d cells, drawn by the seed %d, choose the best of %d starts; from it all cells are grouped, and all of them count in the index", most, n, o.Seed, max(o.Starts, 1)))
	list := rand.New(rand.NewPCG(o.Seed, uint64(n))).Perm(n)[:most]
	slices.Sort(list)
	return x.of(list)
}

// kmeans is the best of several starts among some of the cells, carried on with all, and
// its sum of squares within zones.
func kmeans(x, some points, k int, o Options) (labels []int, within float64) {
	within = math.Inf(1)
	rng := rand.New(rand.NewPCG(o.Seed, uint64(k)))
	var best points
	for range max(o.Starts, 1) {
		l, centres, sse := lloyd(some, seeded(some, k, rng))
		if sse < within*(1-1e-12) {
			labels, best, within = l, centres, sse
		}
	}
	if x.count() > some.count() {
		labels, _, within = lloyd(x, best)
	}
	return labels, within
}

// seeded draws centres, each with a chance that rises with its distance from those drawn.
func seeded(x points, k int, rng *rand.Rand) points {
	n := x.count()
	chosen := []int{rng.IntN(n)}
	near := make([]float64, n)
	for len(chosen) < k {
		sum := 0.0
		last := x.at(chosen[len(chosen)-1])
		for i := range near {
			d := distance2(x.at(i), last)
			if len(chosen) == 1 || d < near[i] {
				near[i] = d
			}
			sum += near[i]
		}
		at, left := n-1, rng.Float64()*sum
		for i, d := range near {
			if left -= d; left < 0 {
				at = i
				break
			}
		}
		chosen = append(chosen, at)
	}
	return x.of(chosen)
}

// lloyd moves centres to the means of their cells until no cell changes.
func lloyd(x, centres points) (labels []int, moved points, sse float64) {
	centres.values = slices.Clone(centres.values)
	labels = make([]int, x.count())
	const rounds = 200
	for round := range rounds {
		if !assign(x, centres, labels) && round > 0 {
			break
		}
		move(x, centres, labels)
	}
	for i, l := range labels {
		sse += distance2(x.at(i), centres.at(l))
	}
	return labels, centres, sse
}

// assign gives each cell to its nearest centre, and reports whether any changed.
func assign(x, centres points, labels []int) (changed bool) {
	k := centres.count()
	for i := range labels {
		p := x.at(i)
		best, least := 0, math.Inf(1)
		for c := range k {
			if d := distance2(p, centres.at(c)); d < least {
				best, least = c, d
			}
		}
		if labels[i] != best {
			labels[i], changed = best, true
		}
	}
	return changed
}

// move puts centres at the means of their cells; one without cells stays.
func move(x, centres points, labels []int) {
	sums, counts := make([]float64, len(centres.values)), make([]float64, centres.count())
	for i, l := range labels {
		counts[l]++
		sum := sums[l*x.layers:]
		for j, v := range x.at(i) {
			sum[j] += v
		}
	}
	for c, n := range counts {
		for j := range x.layers {
			if n > 0 {
				centres.values[c*x.layers+j] = sums[c*x.layers+j] / n
			}
		}
	}
}

// calinskiHarabasz is the ratio of the variance between zones to that within.
func calinskiHarabasz(x points, k int, within float64) float64 {
	n := float64(x.count())
	total := n * float64(x.layers) // of standardised layers
	if k < 2 || x.count() <= k {
		return 0
	}
	return (total - within) / float64(k-1) / (max(within, 1e-12) / (n - float64(k)))
}
