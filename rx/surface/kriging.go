package surface

import (
	"slices"

	"github.com/paulmach/orb"
	"gonum.org/v1/gonum/mat"
)

// kriger solves the ordinary kriging system of the nearest samples.
type kriger struct {
	*tree
	v    Variogram
	near int

	// The last system, which places beside one another share. Semivariances in it are over
	// that of samples far apart: of values in the thousands it else could not be solved.
	chosen []int
	lu     mat.LU
	solved bool
}

func newKriger(t *tree, v Variogram, near int) *kriger {
	return &kriger{tree: t, v: v, near: max(2, near)}
}

// at returns the value and its variance at a place from the nearest samples but one.
func (k *kriger) at(p orb.Point, but int) (value, variance float64) {
	far := k.v.Nugget + k.v.Sill
	chosen := k.nearest(p, but, k.near)
	n := len(chosen)
	if n == 0 { // no place, or beyond all distances
		return inverse(k.samples, k.order, p, 2), far
	}
	if !k.solved || !slices.Equal(chosen, k.chosen) {
		k.factorise(chosen)
	}
	b := mat.NewVecDense(n+1, nil)
	for r, i := range chosen {
		b.SetVec(r, k.v.At(dist(p, k.samples[i].At))/far)
	}
	b.SetVec(n, 1)
	var w mat.VecDense
	if err := k.lu.SolveVecTo(&w, false, b); err != nil {
		// Two samples lie so near one another that no variogram tells them apart.
		return inverse(k.samples, chosen, p, 2), far
	}
	for r, i := range chosen {
		value += w.AtVec(r) * k.samples[i].Value
		variance += w.AtVec(r) * b.AtVec(r)
	}
	return value, far * max(0, variance+w.AtVec(n))
}

func (k *kriger) factorise(chosen []int) {
	n := len(chosen)
	far := k.v.Nugget + k.v.Sill
	a := mat.NewDense(n+1, n+1, nil)
	for r, i := range chosen {
		for c, j := range chosen[:r] {
			g := k.v.At(dist(k.samples[i].At, k.samples[j].At)) / far
			a.Set(r, c, g)
			a.Set(c, r, g)
		}
		a.Set(r, n, 1)
		a.Set(n, r, 1)
	}
	k.lu.Factorize(a)
	k.chosen, k.solved = chosen, true
}
