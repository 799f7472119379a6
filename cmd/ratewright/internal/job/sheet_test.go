package job

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/page"
	"ratewright/geo/unit"
)

// sheets are the sheets of the demo's job, as its steps draw them, with their JSON.
func sheets(t *testing.T, j Job) (prescription, reconciliation page.Sheet, summaries [2]map[string]any) {
	t.Helper()
	a := &j.Applications[0]
	p, err := j.Prescribe("")
	require.NoError(t, err)
	prescription = j.sheetOfPrescription(a, p, nil)
	r, err := j.Reconcile("")
	require.NoError(t, err)
	in := asapplied.Input{Plan: p.Prescription.Zones, HasShallow: true, Shallow: unit.Inches(3)}
	reconciliation = j.sheetOfReconciliation(a, p.Prescription.Application, in, r, nil, nil)
	return prescription, reconciliation, [2]map[string]any{
		tree(t, written(t, p.Set)["prescription.json"]), tree(t, written(t, r.Set)["reconcile.json"]),
	}
}

// figureAt returns the value of a JSON tree at a path such as zones.0.area_m2.
func figureAt(t *testing.T, v any, path string) any {
	t.Helper()
	for _, key := range strings.Split(path, ".") {
		switch node := v.(type) {
		case map[string]any:
			require.Contains(t, node, key, path)
			v = node[key]
		case []any:
			i, err := strconv.Atoi(key)
			require.NoError(t, err, path)
			v = node[i]
		default:
			require.Fail(t, "no such figure", path)
		}
	}
	return v
}

// printed is a figure of a summary as the job prints it, told by its key alone.
func printed(t *testing.T, u unit.System, per unit.RateUnit, summary map[string]any, key string) string {
	t.Helper()
	v := figureAt(t, summary, key)
	if text, ok := v.(string); ok {
		return text
	}
	n := v.(float64)
	switch {
	case key == "loads.exact":
		return fmt.Sprintf("%.2f", n)
	case strings.HasSuffix(key, "n_rate_kg_ha"):
		return u.NRateNumber(unit.KgNPerHa(n))
	case strings.Contains(key, "_m2"):
		return u.AreaNumber(unit.SquareMetres(n))
	case strings.Contains(key, "_kg"):
		return u.NMassNumber(unit.Kilograms(n))
	case strings.HasSuffix(key, "product_rate.value"):
		return unit.Rate{Value: n, Unit: per}.Number()
	case strings.HasSuffix(key, "product.value"):
		return unit.Amount{Value: n, Unit: per.Amount()}.Number()
	}
	return fmt.Sprint(n)
}

func TestFiguresOfASheetAreThoseOfTheJSON(t *testing.T) {
	for _, c := range []struct {
		units string
		u     unit.System
	}{{"units: us", unit.US}, {"units: si", unit.SI}} {
		_, j := made(t, "units: us", c.units)
		prescription, reconciliation, summaries := sheets(t, j)
		for i, s := range []page.Sheet{prescription, reconciliation} {
			compared := 0
			same := func(key, text string) {
				if key != "" {
					require.Equal(t, printed(t, c.u, unit.GallonsPerAcre, summaries[i], key), text, key)
					compared++
				}
			}
			for _, f := range s.Lead {
				same(f.Key, f.Value)
			}
			for _, table := range s.Tables {
				require.Len(t, append(table.Units, make([]string, len(table.Head)-len(table.Units))...), len(table.Head))
				for _, row := range table.Rows {
					require.NotEmpty(t, row)
					for _, cell := range row {
						same(cell.Key, cell.Text)
					}
				}
			}
			require.Greater(t, compared, 30)
			require.NotContains(t, fmt.Sprintf("%+v", s.Tables)+fmt.Sprintf("%+v", s.Lead), "NaN")
		}
	}
}

func TestLeadFiguresOfTheDemo(t *testing.T) {
	_, j := made(t)
	prescription, reconciliation, _ := sheets(t, j)
	require.Equal(t, []page.Figure{
		{Name: "UAN 32 in all", Value: "6487.5", Unit: "gal", Key: "product.value"},
		{Name: "fill the tank", Value: "5", Unit: "times", Key: "loads.count"},
		{Name: "nitrogen in all", Value: "22960.4", Unit: "lb N", Key: "nitrogen_kg"},
		{Name: "field", Value: "146.38", Unit: "ac", Key: "area_m2.field"},
		{Name: "average over the field", Value: "156.9", Unit: "lb N/ac"},
	}, prescription.Lead)
	require.Equal(t, []page.Figure{
		{Name: "missed", Value: "0.65", Unit: "ac", Key: "area_m2.missed", Alarm: true},
		{Name: "doubled", Value: "0.59", Unit: "ac", Key: "area_m2.doubled", Alarm: true},
		{Name: "too shallow", Value: "0.69", Unit: "ac", Key: "area_m2.shallow", Alarm: true},
		{Name: "short of the prescription", Value: "307.5", Unit: "lb N", Key: "nitrogen_kg.short", Alarm: true, More: "1.3 % of it"},
	}, reconciliation.Lead)

	// What the job accepts is no alarm.
	_, j = made(t, "reconcile:", "accept: {missed: 2 %, doubled: 0.1 %, short: 5 %}\nreconcile:")
	_, reconciliation, _ = sheets(t, j)
	var alarms []bool
	for _, f := range reconciliation.Lead {
		alarms = append(alarms, f.Alarm)
	}
	require.Equal(t, []bool{false, true, true, false}, alarms)
}

func TestTheMapOfASheet(t *testing.T) {
	_, j := made(t)
	prescription, reconciliation, _ := sheets(t, j)
	m := prescription.Map
	require.Equal(t, "gal/ac", m.RateUnit)
	require.Equal(t, []string{"42.38", "46.62", "33.91", "50.86"}, []string{m.Zones[0].Label, m.Zones[1].Label, m.Zones[2].Label, m.Zones[3].Label})
	require.InDelta(t, 33.91, m.LowRate, 0.005)
	require.InDelta(t, 50.86, m.HighRate, 0.005)
	require.Equal(t, "150.0 lb N/ac as UAN 32", m.Zones[0].Why[0])
	require.Contains(t, m.Zones[0].Why[1], "zone column N_LB_AC")
	require.Equal(t, "waterway; 100.0 ft around well", m.OffLimits[0].Name)
	require.Equal(t, "sidedress, UAN 32", prescription.Subject)
	require.Equal(t, "2026-06-05", prescription.Date)

	m = reconciliation.Map
	require.Equal(t, "lb N/ac", m.RateUnit)
	require.Equal(t, "165", m.Zones[1].Label)
	require.InDelta(t, 3, m.Shallow, 1e-9)
	for _, p := range m.Patches {
		// The plane keeps areas to 1e-8, degrees in ten decimals to a little less.
		var area float64
		for _, polygon := range p.Polygons {
			for _, ring := range polygon {
				for k := range len(ring) - 1 {
					area += (ring[k][0]*ring[k+1][1] - ring[k+1][0]*ring[k][1]) / 2
				}
			}
		}
		require.InDelta(t, p.AreaM2, area, 0.01+1e-4*p.AreaM2, "%s", p.Kind)
	}
	require.Equal(t, "Too light", m.Patches[indexOfKind(m.Patches, "light")].Title)
}

func indexOfKind(patches []page.Patch, kind string) int {
	for i, p := range patches {
		if p.Kind == kind {
			return i
		}
	}
	return -1
}

func TestTracksHaveTheUnitsOfTheJob(t *testing.T) {
	nan := float32(math.NaN())
	stride := asapplied.Stride{From: 1, To: 2, Time: 5, KgHa: 112.0851, DepthM: 0.0762}
	us, si := drawnIn(unit.US)(stride), drawnIn(unit.SI)(stride)
	require.InDelta(t, 100, us.Rate, 1e-3)
	require.InDelta(t, 3, us.Depth, 1e-5)
	require.InDelta(t, 112.0851, si.Rate, 1e-3)
	require.InDelta(t, 7.62, si.Depth, 1e-5)
	require.True(t, math.IsNaN(float64(drawnIn(unit.US)(asapplied.Stride{KgHa: nan}).Rate)))
}

// TestThePageChangesOnlyTheListOfFiles compares results with and without a page.
func TestThePageChangesOnlyTheListOfFiles(t *testing.T) {
	dir, j := made(t)
	with, err := j.Reconcile("")
	require.NoError(t, err)
	without, err := j.ReconcileAs("", How{NoPage: true})
	require.NoError(t, err)
	require.Equal(t, "reconcile.html", with.Set.Files[0].Name)
	require.Len(t, with.Set.Files, len(without.Set.Files)+1)
	withPage, withoutPage := written(t, with.Set), written(t, without.Set)
	sum := sha256.Sum256([]byte(withPage["reconcile.html"]))
	line := fmt.Sprintf("  \"reconcile.html\": %q\n", hex.EncodeToString(sum[:]))
	have := withPage["reconcile.json"]
	require.Contains(t, have, line)
	have = strings.Replace(have, line, "", 1)
	have = strings.Replace(have, "\",\n }", "\"\n }", 1) // the comma before it
	require.Equal(t, withoutPage["reconcile.json"], have)
	require.Nil(t, with.Picture)

	one, err := j.ReconcileAs("", How{Workers: 1, PNG: true})
	require.NoError(t, err)
	require.Equal(t, withPage["reconcile.html"], written(t, one.Set)["reconcile.html"], "whatever the number of processors")
	isPNG(t, one.Picture)

	p, err := j.PrescribeAs("", How{PNG: true})
	require.NoError(t, err)
	require.Equal(t, "prescription.html", p.Set.Files[0].Name)
	isPNG(t, p.Picture)
	html := written(t, p.Set)["prescription.html"]
	boundary, err := os.ReadFile(filepath.Join(dir, "boundary.geojson"))
	require.NoError(t, err)
	sum = sha256.Sum256(boundary)
	require.Contains(t, html, hex.EncodeToString(sum[:]))
	require.NotContains(t, html, "log.csv", "which says nothing of what is wanted")
	require.NotContains(t, html, dir)
	require.NotContains(t, withPage["reconcile.html"], dir)
}

func isPNG(t *testing.T, picture func(w io.Writer) error) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, picture(&b))
	require.True(t, bytes.HasPrefix(b.Bytes(), []byte("\x89PNG")))
}

func TestSeveralApplicationsHaveAPageEach(t *testing.T) {
	_, j := made(t)
	second := j.Applications[0]
	second.Name = "late"
	j.Applications = append(j.Applications, second)
	p, err := j.Prescribe("late")
	require.NoError(t, err)
	require.Equal(t, "prescription-late.html", p.Set.Files[0].Name)
	var doc struct{ Files map[string]string }
	require.NoError(t, json.Unmarshal([]byte(written(t, p.Set)["prescription-late.json"]), &doc))
	require.Contains(t, doc.Files, "prescription-late.html")
}
