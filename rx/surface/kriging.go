package surface

import (
	"math"
	"sort"

	"github.com/paulmach/orb"
	"gonum.org/v1/gonum/mat"
)

// kriger solves the ordinary kriging system of the nearest samples.
type kriger struct {
	samples []Sample
	v       Variogram
	near    int

	// The last system, which places beside one another share.
	chosen []int
	lu     mat.LU
	solved bool
	order  []neighbour
}

type neighbour struct {
	i  int
	d2 float64
}

func newKriger(samples []Sample, v Variogram, near int) *kriger {
	return &kriger{samples: samples, v: v, near: max(2, near)}
}

// at returns the value and its variance at a place from the nearest samples but one.
func (k *kriger) at(p orb.Point, but int) (value, variance float64) {
	chosen := k.nearest(p, but)
	n := len(chosen)
	if !k.same(chosen) {
		k.factorise(chosen)
	}
	b := mat.NewVecDense(n+1, nil)
	for r, i := range chosen {
		b.SetVec(r, k.v.At(dist(p, k.samples[i].At)))
	}
	b.SetVec(n, 1)
	var w mat.VecDense
	if err := k.lu.SolveVecTo(&w, false, b); err != nil {
		return k.fallback(p, but) // two samples that no variogram tells apart
	}
	for r, i := range chosen {
		value += w.AtVec(r) * k.samples[i].Value
		variance += w.AtVec(r) * b.AtVec(r)
	}
	return value, max(0, variance+w.AtVec(n))
}

func (k *kriger) fallback(p orb.Point, but int) (float64, float64) {
	return inverse(k.samples, p, 2, but), k.v.Nugget + k.v.Sill
}

// nearest are the samples nearest to a place, by their index.
func (k *kriger) nearest(p orb.Point, but int) []int {
	near := k.order[:0]
	worst := math.Inf(1)
	for i, s := range k.samples {
		if i == but {
			continue
		}
		dx, dy := s.At[0]-p[0], s.At[1]-p[1]
		d2 := dx*dx + dy*dy
		if d2 >= worst {
			continue
		}
		at := sort.Search(len(near), func(j int) bool { return near[j].d2 > d2 })
		if len(near) < k.near {
			near = append(near, neighbour{})
		}
		copy(near[at+1:], near[at:])
		near[at] = neighbour{i, d2}
		if len(near) == k.near {
			worst = near[len(near)-1].d2
		}
	}
	k.order = near
	chosen := make([]int, len(near))
	for j, n := range near {
		chosen[j] = n.i
	}
	sort.Ints(chosen)
	return chosen
}

func (k *kriger) same(chosen []int) bool {
	if !k.solved || len(chosen) != len(k.chosen) {
		return false
	}
	for i, c := range chosen {
		if k.chosen[i] != c {
			return false
		}
	}
	return true
}

func (k *kriger) factorise(chosen []int) {
	n := len(chosen)
	a := mat.NewDense(n+1, n+1, nil)
	for r, i := range chosen {
		for c, j := range chosen[:r] {
			g := k.v.At(dist(k.samples[i].At, k.samples[j].At))
			a.Set(r, c, g)
			a.Set(c, r, g)
		}
		a.Set(r, n, 1)
		a.Set(n, r, 1)
	}
	k.lu.Factorize(a)
	k.chosen, k.solved = chosen, true
}
