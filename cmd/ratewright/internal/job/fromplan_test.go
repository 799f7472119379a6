package job

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/rx/plan"
)

// A map by a plan has the rates of its choice, and one by a plan of other ground, or of an
// application put down otherwise, is refused.
func TestAMapByAPlanIsOfWhatWasPlanned(t *testing.T) {
	j := demoJob(t, "", "rate: {column: N_LB_AC, unit: lb/ac, of: nitrogen}", "rate: {plan: plan.json}",
		"    limits: {min: 60 lb/ac, max: 220 lb/ac, step: 5 lb/ac, of: nitrogen}\n", "")
	path := filepath.Join(filepath.Dir(j.Path), "plan.json")
	text := written(t, planned(t, j).Set)["plan.json"]
	prescribe := func(change func(j *Job, doc *plan.JSON)) (Prescribed, error) {
		var doc plan.JSON
		require.NoError(t, json.Unmarshal([]byte(text), &doc))
		k := j
		k.Applications = slices.Clone(j.Applications)
		change(&k, &doc)
		data, err := json.Marshal(doc)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(path, data, 0o600))
		return k.Prescribe("sidedress")
	}

	var kg float64
	p, err := prescribe(func(_ *Job, doc *plan.JSON) {
		for _, z := range doc.Fields[0].Zones {
			for _, a := range z.Choice.Applications {
				if a.Name == "sidedress" {
					kg += a.NRateKgHa * z.AreaM2 / 1e4
				}
			}
		}
	})
	require.NoError(t, err)
	require.Positive(t, kg)
	require.InEpsilon(t, kg, p.Prescription.Nitrogen().Kilograms(), 1e-9)

	other := unit.Inches(6)
	for says, change := range map[string]func(j *Job, doc *plan.JSON){
		"sidedress of the job is Urea":         func(j *Job, _ *plan.JSON) { j.Applications[0].Source = "urea" },
		"in the plan injected":                 func(j *Job, _ *plan.JSON) { j.Applications[0].Placement = "broadcast" },
		"is on 2026-06-09, and that of":        func(j *Job, _ *plan.JSON) { j.Applications[0].Date = "2026-06-09" },
		"is 6.0 in deep, and that of":          func(j *Job, _ *plan.JSON) { j.Applications[0].Depth = &other },
		"is with inhibitor urease":             func(j *Job, _ *plan.JSON) { j.Applications[0].Inhibitor = "urease" },
		"boundary or zones have changed since": func(_ *Job, doc *plan.JSON) { doc.Fields[0].Zones[1].AreaM2 *= 1.01 },
		"has a zone gone, which the job has not": func(_ *Job, doc *plan.JSON) {
			doc.Fields[0].Zones = append(doc.Fields[0].Zones, plan.ZoneJSON{ID: "gone"})
		},
		"lists zone B of Heron Bend twice; make the plan anew": func(_ *Job, doc *plan.JSON) {
			doc.Fields[0].Zones = append(doc.Fields[0].Zones, doc.Fields[0].Zones[1])
		},
		"lists field Heron Bend twice": func(_ *Job, doc *plan.JSON) { doc.Fields = append(doc.Fields, doc.Fields[0]) },
		"has two rates of sidedress for zone A of Heron Bend": func(_ *Job, doc *plan.JSON) {
			c := doc.Fields[0].Zones[0].Choice
			c.Applications = append(c.Applications, c.Applications[1])
		},
		"lists application sidedress of starter, then UAN by coulter twice": func(_ *Job, doc *plan.JSON) {
			doc.Compared = append(doc.Compared, doc.Compared[2])
			doc.Compared[3].Applications = doc.Compared[3].Applications[1:]
		},
		"has rates by application for zone A of Heron Bend that are not": func(_ *Job, doc *plan.JSON) {
			c := doc.Fields[0].Zones[0].Choice
			c.Applications = c.Applications[:1]
		},
		"has rates by application for zone C of Heron Bend that are not": func(_ *Job, doc *plan.JSON) { doc.Fields[0].Zones[2].Choice.Strategy = nil },
		"does not tell how sidedress of":                                 func(_ *Job, doc *plan.JSON) { doc.Compared = nil },
	} {
		_, err := prescribe(change)
		require.ErrorContains(t, err, says)
	}
	for _, lacking := range []string{`"rate":`, `"n_rate_kg_ha": null, "rate":`} {
		at := strings.Index(text, `"choice"`) // the first zone's, where its rates by application follow
		require.Positive(t, at)
		at += strings.Index(text[at:], `"applications"`)
		require.NoError(t, os.WriteFile(path, []byte(text[:at]+strings.Replace(text[at:], `"n_rate_kg_ha":`, lacking, 1)), 0o600))
		_, err := j.Prescribe("sidedress")
		require.ErrorContains(t, err, "plan.json: has no rate of starter for zone A; make the plan anew")
	}
}
