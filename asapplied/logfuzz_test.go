package asapplied

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"ratewright/geo/unit"
)

// FuzzLog reads any text as a log and inspects it: no fault of ours, every row
// accounted for, nothing infinite, and JSON that can be written.
func FuzzLog(f *testing.F) {
	for _, s := range []string{
		"time,lon,lat,speed_mps,heading_deg,sections,depth_cm,rate_kg_ha\n1715000000.000,-93.59,42.02,2.5,94.4,1101,10,196.2\n",
		"\xef\xbb\xbfdate;clock;lon;lat;rate_lb_n_ac\r\n5/6/2024;2:05:06 PM;-93,5;42,5;1,5\r\n",
		"lon,lat,s1,s2,working,fix,load,machine\n-93.5,42.5,1,0,on,4,a,b\n-93.5,42.5,1,2,off,0,a,b\n",
		"lon,lat,sections\n-93.5,42.5,0x1F\n-93.5,42.5,F0\n",
		"lon\tlat\tflow_lb_min\n1\t2\tNaN\nlon\tlat\tflow_lb_min\n,,\n",
	} {
		f.Add([]byte(s))
	}
	path := filepath.Join(f.TempDir(), "fuzz.csv")
	f.Fuzz(func(t *testing.T, data []byte) {
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		if log, err := ReadLog(LogSpec{Files: []string{path}, Of: unit.Nitrogen, HasOf: true}); err == nil {
			requireWhole(t, &log)
		}
		in, err := InspectFile(path)
		if err != nil {
			return
		}
		if _, err := json.Marshal(in); err != nil {
			t.Fatal(err)
		}
		_, _ = in.String(), Skeleton([]Inspection{in})
	})
}
