package soil

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// BenchmarkTables reads the tables of a survey area of 500 map units with 6 components of
// 6 horizons each, of which a field needs 5. (A job's benchmark reads the polygons, too.)
func BenchmarkTables(b *testing.B) {
	dir := b.TempDir()
	var units, parts, horizons strings.Builder
	units.WriteString("musym,muname,mukey\n")
	parts.WriteString("comppct_r,compname,drainagecl,hydgrp,mukey,cokey\n")
	horizons.WriteString("hzname,hzdept_r,hzdepb_r,om_l,om_r,om_h,sandtotal_r,silttotal_r,claytotal_r,ph1to1h2o_r,cec7_r,cokey\n")
	want := map[string]bool{}
	for u := range 500 {
		fmt.Fprintf(&units, "S%d,A made up soil,%d\n", u, u)
		if u%100 == 0 {
			want[fmt.Sprint(u)] = true
		}
		for c := range 6 {
			fmt.Fprintf(&parts, "16,Series,Well drained,B,%d,%d\n", u, u*10+c)
			for h := range 6 {
				fmt.Fprintf(&horizons, "H,%d,%d,1,2,3,40,38,22,6.5,20,%d\n", 20*h, 20*h+20, u*10+c)
			}
		}
	}
	for name, text := range map[string]string{"u": units.String(), "c": parts.String(), "h": horizons.String()} {
		require.NoError(b, os.WriteFile(filepath.Join(dir, name+".csv"), []byte(text), 0o600))
	}
	for b.Loop() {
		units, _, err := Read(dir, 0, depth, want)
		require.NoError(b, err)
		require.Len(b, units, 5)
	}
}
