package job

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

func TestTablesOfRowsAsPeopleWriteThem(t *testing.T) {
	read := func(text string) ([]float64, []float64, error) {
		file := filepath.Join(t.TempDir(), "t.csv")
		require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
		spec := &TrialSpec{TableSpec: TableSpec{File: file, Columns: map[string]string{"n_rate": "N", "yield": "Y"}}, RateKgHa: 1, YieldKgHa: 1}
		obs, _, err := (&opener{}).observations(spec, unit.US)
		var rates, yields []float64
		for _, o := range obs {
			rates, yields = append(rates, o.Rate.KgNPerHa()), append(yields, o.Yield.KgPerHa())
		}
		return rates, yields, err
	}
	for name, text := range map[string]string{
		"commas":             "n,y\n0,100.5\n50,120\n",
		"a byte order mark":  "\ufeffN,Y\r\n0,100.5\r\n50,120\r\n",
		"semicolons":         "N;Y\n0;100,5\n50;120\n",
		"tabs, more columns": "REP\tY\tN\n1\t100.5\t0\n2\t120\t50\n",
		"plots that lack":    "N,Y\n0,100.5\n50,\n,7\nNA,7\n50,120\n",
	} {
		rates, yields, err := read(text)
		require.NoError(t, err, name)
		require.Equal(t, []float64{0, 50}, rates, name)
		require.Equal(t, []float64{100.5, 120}, yields, name)
	}
	for want, text := range map[string]string{
		"is empty":                  "",
		"has no column \"Y\"":       "N\n0\n",
		"two columns \"N\"":         "N,n,Y\n0,1,2\n",
		"line 2: column Y holds":    "N,Y\n0,\"1,000\"\n",
		"line 3: wrong number of":   "N,Y\n0,1\n0\n",
		"is below zero":             "N,Y\n-5,1\n",
		"line 2: column N holds \"": "N,Y\nInf,1\n",
		"line 3: extraneous":        "N,Y\n0,1\n\"50,2\n100,3\n", // the quote opens on line 3 and is never closed
		"line 4: extraneous":        "N,Y\n0,1\n50,2\n\"100,3\n",
		"line 2: bare":              "N,Y\n5\"0,2\n100,3\n",
		"line 1: has no header":     "\"N,Y\n0,1\n",
	} {
		_, _, err := read(text)
		require.ErrorContains(t, err, want)
	}
}
