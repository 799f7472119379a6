package cluster

import (
	"fmt"
	"math"
)

const (
	mostValue = 1e100 // whose squares are numbers still
	farOut    = 6     // standard deviations from the mean
)

// standardised gives every layer a mean of 0 and a standard deviation of 1, and tells of
// cells so far out that they leave little between the others.
func (r *Result) standardised() (points, error) {
	n := float64(len(r.Cells))
	x := points{layers: len(r.Cells[0].Values)}
	x.values = make([]float64, len(r.Cells)*x.layers)
	for k := range x.layers {
		mean, sd := 0.0, 0.0
		for _, c := range r.Cells {
			if math.Abs(c.Values[k]) > mostValue {
				return points{}, fmt.Errorf("layer %d has the value %.3g at column %d, row %d, which nothing in a field has; leave out what stands for no data", k+1, c.Values[k], c.Col, c.Row)
			}
			mean += c.Values[k] / n
		}
		for _, c := range r.Cells {
			sd += (c.Values[k] - mean) * (c.Values[k] - mean) / n
		}
		sd = math.Sqrt(sd)
		if !(sd > 1e-12*math.Abs(mean)) || sd == 0 {
			return points{}, fmt.Errorf("layer %d has the same value everywhere; leave it out", k+1)
		}
		for i, c := range r.Cells {
			x.values[i*x.layers+k] = (c.Values[k] - mean) / sd
		}
		r.noteFarOut(x, k)
	}
	return x, nil
}

// noteFarOut tells of cells of a layer that lie far from all others.
func (r *Result) noteFarOut(x points, layer int) {
	out, farthest := 0, 0
	for i := range r.Cells {
		z := math.Abs(x.at(i)[layer])
		if z > farOut {
			out++
		}
		if z > math.Abs(x.at(farthest)[layer]) {
			farthest = i
		}
	}
	if out > 0 {
		r.Notes = append(r.Notes, fmt.Sprintf("layer %d: %d of %d cells lie more than %d standard deviations from the mean, one of them with %.4g; if that is not a true value, the layer hardly tells the other cells apart", layer+1, out, len(r.Cells), farOut, r.Cells[farthest].Values[layer]))
	}
}
