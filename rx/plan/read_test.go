package plan

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is written is read back, and what was changed by hand is refused.
func TestAPlanIsReadBack(t *testing.T) {
	r, c := mixed(t)
	want := r.JSON(&c)
	text := func(doc JSON) []byte {
		data, err := json.Marshal(doc)
		require.NoError(t, err)
		return data
	}
	got, err := Read(text(want))
	require.NoError(t, err)
	require.Equal(t, want, got)

	for _, none := range []string{"", "[]", `{"schema": "ratewright/prescription/1"}`, strings.Replace(string(text(want)), Schema, Schema+"0", 1)} {
		_, err := Read([]byte(none))
		require.ErrorIs(t, err, ErrNoPlan, "%.40s", none)
	}
	for says, change := range map[string]func(*JSON){
		"lists field":                       func(doc *JSON) { doc.Fields = append(doc.Fields, doc.Fields[0]) },
		"lists zone":                        func(doc *JSON) { doc.Fields[0].Zones = append(doc.Fields[0].Zones, doc.Fields[0].Zones[0]) },
		"has rates by application for zone": func(doc *JSON) { doc.Fields[0].Zones[0].Choice.NRateKgHa++ },
	} {
		doc, err := Read(text(want))
		require.NoError(t, err)
		change(&doc)
		_, err = Read(text(doc))
		require.ErrorContains(t, err, says)
	}
	var loose map[string]any
	require.NoError(t, json.Unmarshal(text(want), &loose))
	first := func(in any, keys ...string) map[string]any {
		for _, key := range keys {
			if in = in.(map[string]any)[key]; key != "choice" {
				in = in.([]any)[0]
			}
		}
		return in.(map[string]any)
	}
	delete(first(loose, "fields", "zones", "choice", "applications"), "n_rate_kg_ha")
	data, err := json.Marshal(loose)
	require.NoError(t, err)
	_, err = Read(data)
	require.ErrorContains(t, err, "has no rate of ", "which is not one of zero")
}
