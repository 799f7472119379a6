//go:build reference

package allot

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/require"
)

// milp solves the problem with HiGHS through scipy.
const milp = `
import json, sys
import numpy as np
from scipy.optimize import milp, LinearConstraint, Bounds
from scipy.sparse import csr_array
d = json.load(sys.stdin)
n, start = len(d["ret"]), d["start"]
one = csr_array((np.ones(n), np.arange(n), start), shape=(len(start) - 1, n))
limit = np.array(d["limit"])
use = csr_array((d["amount"], (d["row"], d["option"])), shape=(len(limit), n))
scale = np.where(limit > 0, limit, 1)
use = csr_array(use.multiply(1 / scale[:, None]))
r = milp(-np.array(d["ret"]), integrality=np.ones(n), bounds=Bounds(0, 1),
         constraints=[LinearConstraint(one, 1, 1), LinearConstraint(use, -np.inf, limit / scale)],
         options={"mip_rel_gap": d["gap"], "time_limit": 6})
json.dump({"status": int(r.status), "value": None if r.x is None else float(-r.fun),
           "bound": None if r.x is None else float(-r.mip_dual_bound)}, sys.stdout)
`

type answer struct {
	Status       int
	Value, Bound *float64
}

func highs(t *testing.T, p *Problem, gap float64) answer {
	t.Helper()
	var option []int
	for k := range p.ret {
		for range p.uses[k+1] - p.uses[k] {
			option = append(option, k)
		}
	}
	var limit []float64
	for _, l := range p.limits {
		limit = append(limit, l.Amount)
	}
	data, err := json.Marshal(map[string]any{"ret": p.ret, "start": p.start, "limit": limit, "row": p.row, "amount": p.amount, "option": option, "gap": gap})
	require.NoError(t, err)
	cmd := exec.CommandContext(t.Context(), "/usr/bin/python3", "-c", milp)
	cmd.Stdin = bytes.NewReader(data)
	out, err := cmd.Output()
	require.NoError(t, err, "python3-scipy of Debian is the reference")
	var a answer
	require.NoError(t, json.Unmarshal(out, &a))
	return a
}

// Both prove what they find: each value lies below the bound of the other. Where neither
// comes to its end within its time, the values are those of the better search of the two to
// 0.2 %.
func TestAgainstHiGHS(t *testing.T) {
	for _, c := range []struct {
		fields, strategies, rates, shared int
		totals                            bool
		share                             float64
	}{
		{2, 4, 5, 4, false, 0.7},
		{2, 4, 5, 2, true, 0.6},
		{5, 4, 10, 4, false, 0.5},
		{10, 4, 10, 4, true, 0.8},
		{20, 6, 10, 5, false, 0.7},
		{45, 3, 10, 4, true, 0.7},
	} {
		for seed := range uint64(2) {
			name := fmt.Sprintf("%+v seed %d", c, seed)
			p := season(t, c.fields, c.strategies, c.rates, c.shared, c.totals, c.share, 100+seed)
			r, err := p.Solve(DefaultOptions())
			require.NoError(t, err, name)
			checkResult(t, p, r)
			a := highs(t, p, 1e-5)
			require.NotNil(t, a.Value, name)
			if *a.Bound-*a.Value < 2e-5**a.Bound { // what it comes to the end of, we do too
				require.True(t, r.Proven, "%s %v", name, r.Notes)
			}
			const feasibility = 1e-6 // by which HiGHS lets a limit be passed, of it
			loose := 1.0
			for i, price := range r.Price {
				loose += 10 * feasibility * price * p.limits[i].Amount
			}
			t.Logf("%s: gap %.2g, we %.2f to %.2f, HiGHS %.2f to %.2f", name, r.Gap, r.Value, r.Bound, *a.Value, *a.Bound)
			require.LessOrEqual(t, r.Value, *a.Bound+1e-6**a.Bound, name)
			require.LessOrEqual(t, *a.Value, r.Bound+loose, name)
			require.InEpsilon(t, *a.Value, r.Value, 2e-3, name)
		}
	}
}

func TestHiGHSFindsNoChoiceEither(t *testing.T) {
	q, err := New([]Limit{{"UAN", "t", 2.5}, {"urea", "t", 2.5}})
	require.NoError(t, err)
	for range 3 {
		q.AddGroup("")
		require.NoError(t, q.AddOption(1, Use{0, 1.5}))
		require.NoError(t, q.AddOption(1, Use{1, 1.5}))
	}
	_, err = q.Solve(DefaultOptions())
	require.Error(t, err)
	require.Equal(t, 2, highs(t, q, 1e-6).Status)
}

// Under many shared limits our bound holds for what HiGHS finds, and our value is within the
// gap of what it cannot rule out.
func TestManySharedLimitsAgainstHiGHS(t *testing.T) {
	found := 0
	for seed := range uint64(4) {
		for kind, draw := range map[string]func(testing.TB, uint64) *Problem{"season": seasonWithYields, "many limits": underManyLimits} {
			p := draw(t, seed)
			r, err := p.Solve(DefaultOptions())
			require.NoError(t, err)
			checkResult(t, p, r)
			a := highs(t, p, 1e-5)
			if a.Value == nil { // it found nothing within its time
				require.Equal(t, 1, a.Status, "%s %d", kind, seed)
				continue
			}
			found++
			t.Logf("%s %d: we %.2f to %.2f, HiGHS %.2f to %.2f", kind, seed, r.Value, r.Bound, *a.Value, *a.Bound)
			loose := 1.0 // HiGHS lets a limit be passed by 1e-6 of it
			for i, price := range r.Price {
				loose += 1e-5 * price * p.limits[i].Amount
			}
			require.LessOrEqual(t, *a.Value, r.Bound+loose, "%s %d: a choice beyond our bound", kind, seed)
			require.LessOrEqual(t, r.Value, *a.Bound+1e-6**a.Bound, "%s %d: our choice is beyond its bound", kind, seed)
			require.GreaterOrEqual(t, r.Value, *a.Value*(1-0.001), "%s %d", kind, seed)
		}
	}
	require.Greater(t, found, 3)
}
