//go:build reference

package surface

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"os/exec"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// systems solves the ordinary kriging system of all samples with numpy.
const systems = `
import json, sys
import numpy as np
d = json.load(sys.stdin)
x, z, p = np.array(d["x"]), np.array(d["z"]), np.array(d["p"])
def gamma(h):
    r = h / d["range"]
    s = np.where(r >= 1, 1, 1.5 * r - 0.5 * r ** 3) if d["model"] == "spherical" else 1 - np.exp(-r)
    return np.where(h > 0, d["nugget"] + d["sill"] * s, 0)
n = len(z)
a = np.ones((n + 1, n + 1)); a[n, n] = 0
a[:n, :n] = gamma(np.linalg.norm(x[:, None] - x[None], axis=2))
out = []
for q in p:
    b = np.append(gamma(np.linalg.norm(x - q, axis=1)), 1)
    w = np.linalg.solve(a, b)
    out.append([float(w[:n] @ z), float(w @ b)])
json.dump(out, sys.stdout)
`

func TestKrigingAgainstNumpy(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	for round := range uint64(6) {
		samples := hilly(40, 1, seed+round)
		v := Variogram{[]string{"spherical", "exponential"}[round%2], float64(round % 3), 20, 150 + 50*float64(round)}
		k := newKriger(newTree(samples), v, len(samples))
		in := map[string]any{"model": v.Model, "nugget": v.Nugget, "sill": v.Sill, "range": v.Range}
		var x, p [][2]float64
		var z []float64
		for _, s := range samples {
			x, z = append(x, s.At), append(z, s.Value)
		}
		rng := rand.New(rand.NewPCG(seed, round))
		for range 20 {
			p = append(p, [2]float64{800 * rng.Float64(), 600 * rng.Float64()})
		}
		in["x"], in["z"], in["p"] = x, z, p
		data, err := json.Marshal(in)
		require.NoError(t, err)
		cmd := exec.CommandContext(t.Context(), "/usr/bin/python3", "-c", systems)
		cmd.Stdin = bytes.NewReader(data)
		out, err := cmd.Output()
		require.NoError(t, err, "python3-numpy of Debian is the reference")
		var want [][2]float64
		require.NoError(t, json.Unmarshal(out, &want))
		for i, q := range p {
			value, variance := k.at(orb.Point(q), -1)
			require.InDelta(t, want[i][0], value, 1e-7)
			require.InDelta(t, want[i][1], variance, 1e-7)
		}
	}
}
