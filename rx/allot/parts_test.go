package allot

import (
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// smallParts draws two or three fields of two zones with totals of their own and up to two
// shared limits.
func smallParts(t *rapid.T) *Problem {
	fields, shared := rapid.IntRange(2, 3).Draw(t, "fields"), rapid.IntRange(0, 2).Draw(t, "shared")
	limits := []Limit{{"days", "d", rapid.Float64Range(1, 30).Draw(t, "days")}, {"UAN", "t", rapid.Float64Range(1, 30).Draw(t, "UAN")}}[:shared]
	for f := range fields {
		limits = append(limits, Limit{string(rune('A' + f)), "kg N", rapid.Float64Range(0, 15).Draw(t, "total")})
	}
	p, err := New(limits)
	require.NoError(t, err)
	for z := range 2 * fields {
		p.AddGroup("")
		require.NoError(t, p.AddOption(0))
		for range rapid.IntRange(1, 5).Draw(t, "options") {
			uses := []Use{{shared + z/2, rapid.Float64Range(0, 12).Draw(t, "N")}}
			for i := range shared {
				uses = append(uses, Use{i, rapid.Float64Range(0, 8).Draw(t, "use")})
			}
			require.NoError(t, p.AddOption(rapid.Float64Range(-5, 50).Draw(t, "return"), uses...))
		}
	}
	return p
}

// Solved in parts, a choice keeps to the limits and the best of all choices lies between
// its value and its bound.
func TestPartsAgainstEveryChoiceTried(t *testing.T) {
	chosen, best := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p := smallParts(t)
		want, ok := brute(p)
		m, s := p.model()
		on := allOn(len(m.ret))
		if !m.tighten(on) {
			require.False(t, ok)
			return
		}
		small, rows := m.only(on)
		span := make([][]int32, small.rows)
		for i, row := range rows {
			for g := range p.Groups() {
				if l := int(row) - (len(p.limits) - p.Groups()/2); l < 0 || l == g/2 {
					span[i] = append(span[i], int32(g))
				}
			}
		}
		order := make([]int32, small.rows)
		for i := range order {
			order[i] = int32(small.rows - 1 - i) // the totals of fields come last
		}
		f := inParts(small, small.join(span, order, 2))
		require.True(t, ok)
		require.NotNil(t, f.choice)
		chosen++
		r := p.result(small, rows, f, s, DefaultOptions())
		v, used := p.used(r.Choice)
		require.Equal(t, v, r.Value)
		for i, u := range used {
			require.LessOrEqual(t, u, p.limits[i].Amount*(1+1e-10))
		}
		require.LessOrEqual(t, r.Value, want+1e-9)
		require.GreaterOrEqual(t, r.Bound, want-1e-9)
		if r.Value > want-1e-9 {
			best++
		}
		// A search over fields ends with the best of all choices, and one for a gap within it.
		for _, gap := range []float64{0, 0.05} {
			got := f.columns.branch(f.choice, aim{gap: gap, scale: s}, 100_000, 1_000_000_000)
			value, bound := s.base+s.unit*got.value, s.base+s.unit*got.bound
			require.LessOrEqual(t, value, want+1e-9)
			require.GreaterOrEqual(t, bound, want-1e-6)
			require.LessOrEqual(t, want-value, gap*max(1e-6, value)+1e-6)
			require.LessOrEqual(t, bound-value, gap*max(1e-6, value)+1e-6)
		}
	})
	require.Greater(t, best, chosen/2)
	t.Logf("%d chosen, %d of them the best", chosen, best)
}

// The bound of parts is tight on many fields, and it is no tighter than a relaxation allows.
func TestManyFieldsUnderOneSupply(t *testing.T) {
	for _, share := range []float64{0.4, 0.7, 0.95} {
		p := season(t, 60, 4, 12, 4, true, share, 11)
		m, _ := p.model()
		_, ok := m.split()
		require.True(t, ok)
		r, err := p.Solve(DefaultOptions())
		require.NoError(t, err)
		checkResult(t, p, r)
		require.True(t, r.Proven, r.Notes)
		t.Logf("%g of what is wanted: gap %.2g", share, r.Gap)
	}
}

func TestTheSameOnAnyNumberOfProcessors(t *testing.T) {
	p := season(t, 60, 4, 12, 4, true, 0.7, 12)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one, err := p.Solve(DefaultOptions())
	require.NoError(t, err)
	runtime.GOMAXPROCS(4)
	four, err := p.Solve(DefaultOptions())
	require.NoError(t, err)
	require.Equal(t, one, four)
}

func TestWorthOverManyFields(t *testing.T) {
	p := season(t, 60, 4, 12, 4, true, 0.7, 13)
	r, err := p.Solve(DefaultOptions())
	require.NoError(t, err)
	for i := range 4 {
		w, err := p.Worth(r, i, 0.05*p.limits[i].Amount, DefaultOptions())
		require.NoError(t, err)
		checkResult(t, &Problem{limits: raise(p.limits, i, 1.05), names: p.names, start: p.start, ret: p.ret, uses: p.uses, row: p.row, amount: p.amount}, w.Result)
		require.GreaterOrEqual(t, w.Dollars, 0.0)
		require.LessOrEqual(t, w.Low, w.Dollars)
		require.GreaterOrEqual(t, w.High, w.Dollars)
		require.LessOrEqual(t, w.Low, w.Price+r.Bound-r.Value, "a price is an upper bound, to what was left open")
		t.Log(w.String(), w.Price)
	}
}

// A limit that no choice reaches is worth nothing, and no search says so.
func TestWorthOfALimitThatNoChoiceReaches(t *testing.T) {
	p := season(t, 3, 3, 6, 3, true, 0.8, 5)
	p.limits[4].Amount *= 1000
	r, err := p.Solve(DefaultOptions())
	require.NoError(t, err)
	w, err := p.Worth(r, 4, 1, DefaultOptions())
	require.NoError(t, err)
	require.True(t, w.Known)
	require.Zero(t, w.Dollars)
	require.Equal(t, r, w.Result)
}

func raise(limits []Limit, i int, times float64) []Limit {
	limits = append([]Limit(nil), limits...)
	limits[i].Amount *= times
	return limits
}

// More of a field's own limit is chosen again on that field alone: the choice keeps to the
// limits, and what a search of all fields finds lies within the proof.
func TestWorthOfAFieldsOwnLimit(t *testing.T) {
	known, gained := 0, 0
	for seed := range uint64(6) {
		share := []float64{0.5, 0.8, 0.97}[seed%3]
		p := season(t, 25, 4, 9, 3, true, share, 30+seed)
		for i := range p.limits[3:] { // some fields are shorter than the others
			p.limits[3+i].Amount *= []float64{0.6, 1, 0.9, 2}[i%4]
		}
		r, err := p.Solve(DefaultOptions())
		require.NoError(t, err)
		require.NotNil(t, r.fields)
		for _, limit := range []int{3, 4, 9, 27} {
			for _, times := range []float64{1.02, 1.4} {
				more := (times - 1) * p.limits[limit].Amount
				w, ok, err := p.worthInField(r, limit, more, DefaultOptions())
				require.NoError(t, err)
				require.True(t, ok)
				raised := &Problem{limits: raise(p.limits, limit, times), names: p.names, start: p.start, ret: p.ret, uses: p.uses, row: p.row, amount: p.amount}
				checkResult(t, raised, w.Result)
				require.InDelta(t, w.Result.Value-r.Value, w.Dollars, 1e-9*r.Value)
				require.GreaterOrEqual(t, w.Dollars, 0.0)
				require.LessOrEqual(t, w.Low, w.Dollars)
				require.GreaterOrEqual(t, w.High, w.Dollars)
				whole, err := raised.Solve(DefaultOptions())
				require.NoError(t, err)
				require.LessOrEqual(t, whole.Value, r.Value+w.High+1e-9*r.Value, "a choice beyond the bound")
				require.GreaterOrEqual(t, whole.Bound, r.Value+w.Dollars-1e-9*r.Value)
				if w.Known {
					known++
				}
				if w.Dollars > 1 {
					gained++
				}
				t.Logf("%s: %.2f in %.2f to %.2f; over all %.2f, to %.2f", w.Limit.Name, w.Dollars, w.Low, w.High, whole.Value-r.Value, whole.Bound-r.Value)
			}
		}
	}
	require.Positive(t, known)
	require.Positive(t, gained)
}
