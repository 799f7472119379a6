package cluster

import (
	"cmp"
	"fmt"
	"math"
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
	Drawn      int // cells at most that choose among the starts; of more they are drawn
	Seed       uint64
}

// DefaultOptions are those of the package.
func DefaultOptions() Options {
	return Options{Most: 6, Starts: 10, Rounds: 5, LeastCells: 10, Drawn: 10_000, Seed: 1}
}

// Result is the zones of cells.
type Result struct {
	Cells  []Cell // by row, then column
	Labels []int  // of Cells, from 0, in the order of the mean of the first layer
	Zones  int
	// Grouped is how many zones the layers make, before those too small are gone.
	Grouped int
	// Index is that of Calinski and Harabasz by number of zones, of those tried.
	Index map[int]float64
	Notes []string
}

// Make groups cells into zones. A cell with a value that is no number is left out and
// counted, and a note tells of cells so far out that they rule a layer. Errors: cells with
// unlike numbers of layers, two cells at one place, a layer whose values do not differ or
// are beyond all that can be measured, fewer cells than zones.
func Make(cells []Cell, o Options) (Result, error) {
	r := Result{Index: map[int]float64{}}
	if err := r.take(cells); err != nil {
		return Result{}, err
	}
	x, err := r.standardised()
	if err != nil {
		return Result{}, err
	}
	n := x.count()
	some := r.drawn(x, o)
	ks := []int{o.Zones}
	if o.Zones == 0 {
		ks = nil
		for k := 2; k <= o.Most; k++ {
			ks = append(ks, k)
		}
	}
	best := math.Inf(-1)
	for _, k := range ks {
		if k < 1 || k > n {
			if o.Zones == 0 {
				break
			}
			return Result{}, fmt.Errorf("%d cells cannot make %d zones", n, k)
		}
		labels, within := kmeans(x, some, k, o)
		index := calinskiHarabasz(x, k, within)
		r.Index[k] = index
		if index > best || len(ks) == 1 {
			best, r.Zones, r.Labels = index, k, labels
		}
	}
	if r.Labels == nil {
		return Result{}, fmt.Errorf("%d cells are too few for zones", n)
	}
	r.Grouped = r.Zones
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
