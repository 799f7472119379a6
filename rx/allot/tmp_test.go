package allot

import (
	"testing"
	"time"
)

func TestTmp(t *testing.T) {
	for _, tot := range []bool{false, true} {
		p := season(t, 500, 8, 40, 6, tot, 0.7, 3)
		t0 := time.Now()
		m, _ := p.model()
		on := allOn(len(m.ret))
		m.tighten(on)
		small, _ := m.only(on)
		t.Log("model", time.Since(t0), small.rows, len(small.ret), len(small.row))
		t0 = time.Now()
		x := relax(small, allOn(len(small.ret)), make([]float64, small.rows))
		ok := x.solve()
		t.Log("lp", ok, x.pivots, x.steps, time.Since(t0), x.short())
		t0 = time.Now()
		b := small.dual(x.prices(), x.on)
		lpv := 0.0
		x.shares(func(g int, k int32, s float64) { lpv += s * small.ret[k] })
		t.Log("bound", b, "lp", lpv, time.Since(t0))
		t0 = time.Now()
		ch, ok := x.rounded()
		v, _ := small.value(ch)
		t.Log("round", ok, v, time.Since(t0))
		t.Log(x.prices()[:6])
	}
}
func TestTmp2(t *testing.T) {
	for _, rate := range []int{10, 40} {
		p := season(t, 500, 8, rate, 6, true, 0.7, 3)
		m, _ := p.model()
		on := allOn(len(m.ret))
		m.tighten(on)
		small, _ := m.only(on)
		t0 := time.Now()
		pp, ok := small.split()
		t.Log(len(pp.shared), len(pp.groups), ok, time.Since(t0))
		f := inParts(small, pp)
		t.Log(f.value, f.bound, f.value-f.bound, f.steps, time.Since(t0))
	}
}
