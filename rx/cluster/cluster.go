package cluster

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
)

// Cell is a cell of a regular grid with a value of each layer.
type Cell struct {
	Col, Row int
	Values   []float64
}

// Options are the settings. Take them from DefaultOptions.
type Options struct {
	Zones      int // 0: by the criterion
	Most       int // zones to try where the number is not given
	Starts     int
	Rounds     int // of smoothing, at most
	LeastCells int // of a patch
	Seed       uint64
}

// DefaultOptions are those of the package.
func DefaultOptions() Options {
	return Options{Most: 6, Starts: 10, Rounds: 5, LeastCells: 10, Seed: 1}
}

// Result is the zones of cells.
type Result struct {
	Cells  []Cell // by row, then column
	Labels []int  // of Cells, from 0, in the order of the mean of the first layer
	Zones  int
	// Index is that of Calinski and Harabasz by number of zones, of those tried.
	Index map[int]float64
	Notes []string
}

// Make groups cells into zones. A cell with a value that is no number is left out and
// counted. Errors: cells with unlike numbers of layers, two cells at one place, a layer
// whose values do not differ, fewer cells than zones.
func Make(cells []Cell, o Options) (Result, error) {
	r := Result{Index: map[int]float64{}}
	if err := r.take(cells); err != nil {
		return Result{}, err
	}
	x, err := standardised(r.Cells)
	if err != nil {
		return Result{}, err
	}
	ks := []int{o.Zones}
	if o.Zones == 0 {
		ks = nil
		for k := 2; k <= o.Most; k++ {
			ks = append(ks, k)
		}
	}
	best := math.Inf(-1)
	for _, k := range ks {
		if k < 1 || k > len(x) {
			if o.Zones == 0 {
				break
			}
			return Result{}, fmt.Errorf("%d cells cannot make %d zones", len(x), k)
		}
		labels, within := kmeans(x, k, o)
		index := calinskiHarabasz(x, k, within)
		r.Index[k] = index
		if index > best || len(ks) == 1 {
			best, r.Zones, r.Labels = index, k, labels
		}
	}
	if r.Labels == nil {
		return Result{}, fmt.Errorf("%d cells are too few for zones", len(x))
	}
	r.smooth(o)
	r.order()
	return r, nil
}

// take sorts the cells and leaves out those without a value.
func (r *Result) take(cells []Cell) error {
	missing := 0
	for _, c := range cells {
		if len(c.Values) != len(cells[0].Values) || len(c.Values) == 0 {
			return fmt.Errorf("the cell at column %d, row %d has %d layers and the first has %d", c.Col, c.Row, len(c.Values), len(cells[0].Values))
		}
		if slices.ContainsFunc(c.Values, func(v float64) bool { return math.IsNaN(v - v) }) {
			missing++
			continue
		}
		r.Cells = append(r.Cells, c)
	}
	slices.SortFunc(r.Cells, func(a, b Cell) int { return cmp.Or(cmp.Compare(a.Row, b.Row), cmp.Compare(a.Col, b.Col)) })
	for i := 1; i < len(r.Cells); i++ {
		if a, b := r.Cells[i-1], r.Cells[i]; a.Row == b.Row && a.Col == b.Col {
			return fmt.Errorf("two cells stand at column %d, row %d", a.Col, a.Row)
		}
	}
	if missing > 0 {
		r.Notes = append(r.Notes, fmt.Sprintf("%d of %d cells lack a value in some layer and are in no zone", missing, len(cells)))
	}
	if len(r.Cells) == 0 {
		return fmt.Errorf("no cell has a value in every layer")
	}
	return nil
}

// standardised gives every layer a mean of 0 and a standard deviation of 1.
func standardised(cells []Cell) ([][]float64, error) {
	n := float64(len(cells))
	x := make([][]float64, len(cells))
	for i := range x {
		x[i] = make([]float64, len(cells[0].Values))
	}
	for k := range cells[0].Values {
		mean, sd := 0.0, 0.0
		for _, c := range cells {
			mean += c.Values[k] / n
		}
		for _, c := range cells {
			sd += (c.Values[k] - mean) * (c.Values[k] - mean) / n
		}
		sd = math.Sqrt(sd)
		if !(sd > 1e-12*math.Abs(mean)) || sd == 0 {
			return nil, fmt.Errorf("layer %d has the same value everywhere; leave it out", k+1)
		}
		for i, c := range cells {
			x[i][k] = (c.Values[k] - mean) / sd
		}
	}
	return x, nil
}

func distance2(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += (a[i] - b[i]) * (a[i] - b[i])
	}
	return sum
}

// kmeans is the best of several starts, and its sum of squares within zones.
func kmeans(x [][]float64, k int, o Options) (best []int, within float64) {
	within = math.Inf(1)
	rng := rand.New(rand.NewPCG(o.Seed, uint64(k)))
	for range max(o.Starts, 1) {
		labels, sse := lloyd(x, seeded(x, k, rng))
		if sse < within*(1-1e-12) {
			best, within = labels, sse
		}
	}
	return best, within
}

// seeded draws centres, each with a chance that rises with its distance from those drawn.
func seeded(x [][]float64, k int, rng *rand.Rand) [][]float64 {
	centres := [][]float64{x[rng.IntN(len(x))]}
	near := make([]float64, len(x))
	for len(centres) < k {
		sum := 0.0
		for i, p := range x {
			d := distance2(p, centres[len(centres)-1])
			if len(centres) == 1 || d < near[i] {
				near[i] = d
			}
			sum += near[i]
		}
		at, left := len(x)-1, rng.Float64()*sum
		for i, d := range near {
			if left -= d; left < 0 {
				at = i
				break
			}
		}
		centres = append(centres, x[at])
	}
	return centres
}

// lloyd moves centres to the means of their cells until no cell changes.
func lloyd(x, centres [][]float64) (labels []int, sse float64) {
	centres = slices.Clone(centres)
	labels = make([]int, len(x))
	const rounds = 200
	for round := range rounds {
		changed := round == 0
		for i, p := range x {
			best, least := 0, math.Inf(1)
			for c := range centres {
				if d := distance2(p, centres[c]); d < least {
					best, least = c, d
				}
			}
			changed = changed || labels[i] != best
			labels[i] = best
		}
		if !changed {
			break
		}
		for c := range centres {
			sum, n := make([]float64, len(x[0])), 0.0
			for i, p := range x {
				if labels[i] == c {
					n++
					for k, v := range p {
						sum[k] += v
					}
				}
			}
			if n > 0 { // an empty zone keeps its centre
				for k := range sum {
					sum[k] /= n
				}
				centres[c] = sum
			}
		}
	}
	for i, p := range x {
		sse += distance2(p, centres[labels[i]])
	}
	return labels, sse
}

// calinskiHarabasz is the ratio of the variance between zones to that within.
func calinskiHarabasz(x [][]float64, k int, within float64) float64 {
	n := float64(len(x))
	total := n * float64(len(x[0])) // of standardised layers
	if k < 2 || len(x) <= k {
		return 0
	}
	return (total - within) / float64(k-1) / (max(within, 1e-12) / (n - float64(k)))
}

// order numbers labels by the mean of the first layer, so that no number depends on
// chance, and drops those without a cell.
func (r *Result) order() {
	type zone struct {
		label int
		mean  float64
	}
	sums, counts := map[int]float64{}, map[int]float64{}
	for i, l := range r.Labels {
		sums[l] += r.Cells[i].Values[0]
		counts[l]++
	}
	var zones []zone
	for l := range sums {
		zones = append(zones, zone{l, sums[l] / counts[l]})
	}
	slices.SortFunc(zones, func(a, b zone) int { return cmp.Or(cmp.Compare(a.mean, b.mean), cmp.Compare(a.label, b.label)) })
	to := map[int]int{}
	for i, z := range zones {
		to[z.label] = i
	}
	for i, l := range r.Labels {
		r.Labels[i] = to[l]
	}
	if len(zones) < r.Zones {
		r.Notes = append(r.Notes, fmt.Sprintf("%d of %d zones were too small to stay", r.Zones-len(zones), r.Zones))
	}
	r.Zones = len(zones)
}
