//go:build reference

package crs

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// place is a spot in degrees or in the unit of a projected system.
type place [2]float64

// cs2cs runs PROJ on places given as text in the axis order of the systems.
func cs2cs(t *testing.T, from, to, input string, decimals int) []place {
	t.Helper()
	cmd := exec.Command("cs2cs", "-f", fmt.Sprintf("%%.%df", decimals), from, to)
	cmd.Stdin = strings.NewReader(input)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	b, err := cmd.Output()
	require.NoErrorf(t, err, "cs2cs of Debian's proj-bin: %s", stderr.String())
	var out []place
	for line := range strings.Lines(string(b)) {
		f := strings.Fields(line)
		require.GreaterOrEqual(t, len(f), 2, line)
		var p place
		for i := range p {
			p[i], err = strconv.ParseFloat(f[i], 64)
			require.NoErrorf(t, err, "%s to %s: %s", from, to, line)
		}
		out = append(out, p)
	}
	return out
}

// referenceCase is one system and the ground to try it on.
type referenceCase struct {
	code     int
	base     int     // geographic system of the same datum
	lon, lat float64 // the middle of its southern edge (northern where high is negative)
	wide     float64 // degrees of longitude to either side
	high     float64 // degrees of latitude upwards, negative downwards
}

// referenceCases are all UTM zones and all State Plane zones of the tables.
func referenceCases(t *testing.T) []referenceCase {
	t.Helper()
	var cases []referenceCase
	for zone := 1; zone <= 60; zone++ {
		lon := float64(6*zone - 183)
		cases = append(cases, referenceCase{32600 + zone, 4326, lon, 0, 3, 84}, referenceCase{32700 + zone, 4326, lon, 0, 3, -80})
		if zone <= 23 {
			cases = append(cases, referenceCase{26900 + zone, 4269, lon, 15, 3, 60})
		}
		if zone <= 19 {
			cases = append(cases, referenceCase{6329 + zone, 6318, lon, 15, 3, 60})
		}
	}
	bases := [...]int{4269, 4152, 4759, 6318}
	for line := range strings.Lines(statePlaneText) {
		f := strings.Split(strings.TrimSpace(line), "|")
		if len(f) != 8 || f[1] == "oblique" || strings.HasPrefix(line, "#") {
			continue
		}
		lat, err := parseDegreesMinutes(f[2])
		require.NoError(t, err)
		lon, err := parseDegreesMinutes(f[3])
		require.NoError(t, err)
		for i, s := range strings.Fields(f[7]) {
			if s == "-" {
				continue
			}
			code, err := strconv.Atoi(s)
			require.NoError(t, err)
			cases = append(cases, referenceCase{code, bases[i], lon, lat, 2.5, 5})
		}
	}
	return cases
}

// PROJ (Debian's proj-bin) knows each code from its own copy of the EPSG data
// set and projects by its own code. Both directions within 1e-6 m.
func TestSystemsAgreeWithPROJ(t *testing.T) {
	const within = 1e-6
	rng := rand.New(rand.NewPCG(26915, 2227))
	cases := referenceCases(t)
	require.Greater(t, len(cases), 500)
	points, worstThere, worstBack := 0, 0.0, 0.0
	for _, c := range cases {
		crs, err := FromEPSG(c.code)
		require.NoErrorf(t, err, "EPSG:%d", c.code)
		var degrees []place
		var there, back strings.Builder
		for range 20 {
			p := place{c.lon + c.wide*(2*rng.Float64()-1), c.lat + c.high*rng.Float64()}
			x, y, err := crs.FromDegrees(p[0], p[1])
			require.NoErrorf(t, err, "EPSG:%d", c.code)
			degrees = append(degrees, p)
			fmt.Fprintf(&there, "%.17g %.17g\n", p[1], p[0]) // latitude first, as EPSG has it
			fmt.Fprintf(&back, "%.17g %.17g\n", x, y)
		}
		base, system := fmt.Sprintf("EPSG:%d", c.base), fmt.Sprintf("EPSG:%d", c.code)
		theirs := cs2cs(t, base, system, there.String(), 9)
		returned := cs2cs(t, system, base, back.String(), 14)
		require.Len(t, theirs, len(degrees))
		require.Len(t, returned, len(degrees))
		for i, p := range degrees {
			x, y, err := crs.FromDegrees(p[0], p[1])
			require.NoError(t, err)
			off := math.Hypot(x-theirs[i][0], y-theirs[i][1]) * crs.unit
			require.LessOrEqualf(t, off, within, "%s, %s at %v: %v %v, PROJ %v", system, crs.Name(), p, x, y, theirs[i])
			worstThere = max(worstThere, off)

			lon, lat, err := crs.ToDegrees(x, y)
			require.NoError(t, err)
			off = metresApart(place{lon, lat}, place{returned[i][1], returned[i][0]})
			require.LessOrEqualf(t, off, within, "%s, %s back at %v: %v %v, PROJ %v", system, crs.Name(), p, lon, lat, returned[i])
			worstBack = max(worstBack, off)
			points++
		}
	}
	t.Logf("%d systems, %d points: worst %.1e m there, %.1e m back", len(cases), points, worstThere, worstBack)
}

// metresApart is the distance of two near places in degrees, to a few percent.
func metresApart(a, b place) float64 {
	const metresPerDegree = 111.7e3 // the most a degree can be
	return metresPerDegree * math.Hypot(turn(a[0]-b[0])*math.Cos(a[1]*degree), a[1]-b[1])
}
