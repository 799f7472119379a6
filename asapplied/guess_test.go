package asapplied

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

func TestNamesSayUnits(t *testing.T) {
	for _, c := range []struct {
		name string
		q    quantity
		base string
		unit string
		of   unit.Of
	}{
		{"speed_m_s", speed, "speed", "m/s", 0},
		{"speed_mps", speed, "speed", "m/s", 0},
		{"SpeedKmh", speed, "speed", "kmh", 0},
		{"Speed (km/h)", speed, "speed", "km/h", 0},
		{"Ground Speed [mph]", speed, "ground speed", "mph", 0},
		{"speed", speed, "speed", "", 0},
		{"depth (in)", length, "depth", "in", 0},
		{"depth_cm", length, "depth", "cm", 0},
		{"DEPTH_IN", length, "depth", "in", 0},
		{"in_depth", length, "in depth", "", 0}, // a word that stands first is no unit
		{"width_ft", length, "width", "ft", 0},
		{"rate_lb_ac", nRate, "rate", "lb/ac", 0},
		{"rate_lb_per_ac", nRate, "rate", "lb/ac", 0},
		{"rate_lb_n_ac", nRate, "rate", "lb/ac", unit.Nitrogen},
		{"N_LB_AC", nRate, "", "lb/ac", unit.Nitrogen},
		{"Applied Rate (lb N/ac)", nRate, "applied rate", "lb/ac", unit.Nitrogen},
		{"product_rate_kg_ha", nRate, "rate", "kg/ha", unit.Product},
		{"rateGalAc", nRate, "rate", "gal/ac", 0},
		{"rate_gpa", nRate, "rate", "gpa", 0},
		{"rate_l_ha", nRate, "rate", "L/ha", 0},
		{"RateLbAc2", nRate, "rate 2", "lb/ac", 0},
		{"flow_lb_min", flow, "flow", "lb/min", 0},
		{"flow_gpm", flow, "flow", "gpm", 0},
		{"n_flow_kg_s", flow, "flow", "kg/s", unit.Nitrogen},
		{"duration_ms", duration, "duration", "ms", 0},
		{"product_total_lb", amount, "product total", "lb", 0},
		{"heading_deg", angle, "heading", "", 0},
		{"lon_deg", plain, "lon", "", 0},
	} {
		h := readHeader(c.name, c.q)
		require.Equal(t, []any{c.base, c.unit, c.of}, []any{h.base, h.unit, h.of}, c.name)
	}
}

// roleOf guesses the columns of a header over given rows.
func rolesOf(t *testing.T, header string, rows ...string) map[string]string {
	t.Helper()
	s := sample{total: len(rows)}
	for i, r := range rows {
		s.rows = append(s.rows, strings.Split(r, ","))
		s.lines = append(s.lines, i+2)
	}
	names := strings.Split(header, ",")
	m := newMapping("log.csv", learn(names, s, '.'))
	require.Empty(t, m.guess(LogSpec{}, &tableInfo{path: "log.csv", names: names}))
	out := map[string]string{}
	for _, a := range m.given {
		out[a.role.name] = strings.Join(m.names(a), "+")
	}
	return out
}

func TestGuesses(t *testing.T) {
	require.Equal(t, map[string]string{
		"lon": "Longitude", "lat": "Latitude", "time": "GPS Time", "heading": "Course", "speed": "Ground Speed (mph)",
		"rate": "Applied Rate (gal/ac)", "target": "Target Rate (gal/ac)", "flow": "Flow Rate (gal/min)", "width": "Swath Width (ft)",
		"working": "Implement Status", "fix": "GPS Quality", "load": "Tank ID", "machine": "Vehicle",
	}, rolesOf(t, "Longitude,Latitude,GPS Time,Course,Ground Speed (mph),Applied Rate (gal/ac),Target Rate (gal/ac),Flow Rate (gal/min),Swath Width (ft),Implement Status,GPS Quality,Tank ID,Vehicle,Altitude,Moisture",
		"-93.5,42.5,2024-05-06T12:00:00Z,359.9,5,40,41,7,60,down,4,7,red tractor,300,15",
		"-93.5,42.5,2024-05-06T12:00:01Z,0.2,5,40,41,7,60,up,4,7,red tractor,300,15"))

	// Values decide between a date with clock and the two apart.
	require.Equal(t, map[string]string{"lon": "x", "lat": "y", "date": "Date", "clock": "Time"},
		rolesOf(t, "x,y,Date,Time", "-93.5,42.5,5/6/2024,12:00:00"))
	require.Equal(t, map[string]string{"lon": "x", "lat": "y", "time": "Date"},
		rolesOf(t, "x,y,Date", "-93.5,42.5,5/6/2024 12:00:00"))

	// A name is not enough: values must fit, too.
	require.Equal(t, map[string]string{"lon": "lon", "lat": "lat"},
		rolesOf(t, "lon,lat,heading,speed,rate,working,sections,fix", "-93.5,42.5,north,fast,-3,perhaps,all,-1"))

	// Values alone are enough for times and for sections, not for a serial number.
	require.Equal(t, map[string]string{"lon": "lon", "lat": "lat", "time": "c1", "sections": "c2"},
		rolesOf(t, "lon,lat,c0,c1,c2", "-93.5,42.5,2000110154,1715000000,00111100", "-93.5,42.5,2000110154,1715000001,00111110"))

	// Numbered columns are a list, by number.
	require.Equal(t, map[string]string{"lon": "lon", "lat": "lat", "sections": "s0+s1+s2", "depth": "Depth Row 1 (in)+Depth Row 2 (in)"},
		rolesOf(t, "lon,lat,s2,s1,s0,Depth Row 2 (in),Depth Row 1 (in)", "-93.5,42.5,1,0,1,4,5"))

	// A target is never the rate.
	require.Equal(t, map[string]string{"lon": "lon", "lat": "lat", "target": "rx_rate_kg_ha"},
		rolesOf(t, "lon,lat,rx_rate_kg_ha", "-93.5,42.5,180"))
}

func TestEqualFitsAreRefusedAndNamed(t *testing.T) {
	for _, c := range []struct{ header, cells, want string }{
		{"lon,longitude,lat", "-93.5,-93.5,42.5", `columns "lon" and "longitude" fit the role lon equally well; write which one under columns: {lon: NAME}, or lon: none`},
		{"lon,lat,course,bearing", "-93.5,42.5,1,1", `columns "course" and "bearing" fit the role heading equally well`},
		{"lon,lat,created,changed", "-93.5,42.5,2024-05-06 12:00:00,2024-05-06 12:00:00", `columns "created" and "changed" fit the role time equally well`},
		{"lon,lat,depth_m,depth_1_m,depth_2_m", "-93.5,42.5,1,1,1", `columns "depth_m" and "depth_1_m to depth_2_m" fit the role depth equally well`},
	} {
		_, err := readText(t, c.header+"\n"+c.cells+"\n")
		require.ErrorContains(t, err, c.want)
	}
	// One that fits better than the others is taken.
	log := mustRead(t, "lon,lat,course,heading\n-93.5,42.5,1,2\n")
	require.Equal(t, []float64{2}, log.Heading)
}

func TestNearestName(t *testing.T) {
	n, ok := nearest("rate_kgha", []string{"lon", "rate_kg_ha", "rate_lb_ac"})
	require.True(t, ok)
	require.Equal(t, "rate_kg_ha", n)
	_, ok = nearest("moisture", []string{"lon", "lat"})
	require.False(t, ok)
	require.Equal(t, 3, changes("kitten", "sitting")) // the usual example of this distance
}

func TestRolesAreOnesOfTheContract(t *testing.T) {
	require.ElementsMatch(t, []string{
		"time", "date", "clock", "lon", "lat", "heading", "speed", "distance", "duration", "width", "sections", "working",
		"rate", "target", "flow", "depth", "product", "load", "machine", "fix",
	}, Roles())
}

func TestUnitsThatARoleMayHave(t *testing.T) {
	for _, c := range []struct{ role, unit, want string }{
		{"speed", "mph", ""},
		{"speed", "kg", "speed"},
		{"heading", "rad", ""},
		{"heading", "m", "not one of an angle; write deg or rad"},
		{"rate", "gal/ac", ""},
		{"flow", "lb/min", ""},
		{"product", "gal", ""},
		{"time", "ms", ""},
		{"time", "d/m/y", ""},
		{"time", "hours", `"hours" is not a unit of the role time; write s, ms, us or ns for numbers since 1970, m/d/y or d/m/y for dates`},
		{"date", "m/d/y", ""},
		{"date", "s", "not a unit of the role date"},
		{"sections", "hex", ""},
		{"sections", "decimal of 12", ""},
		{"sections", "decimal of 65", `"decimal of 65" is not a form of sections; write string, decimal or hex, with a count as in "decimal of 12"`},
		{"sections", "bits", "is not a form of sections"},
		{"load", "kg", "the role load has no unit; remove it"},
		{"loads", "kg", `"loads" is not a role of a log`},
	} {
		err := CheckUnit(c.role, c.unit)
		if c.want == "" {
			require.NoError(t, err, c.role)
		} else {
			require.ErrorContains(t, err, c.want)
		}
	}
}

func TestMisnamedColumns(t *testing.T) {
	for _, c := range []struct{ header, cells, want string }{
		{"lon,lat,time", "-93.5,42.5,yesterday", `column "time" has the name of the role time, but its values, such as "yesterday", do not fit it; repair them, name another column under columns: {time: NAME}, or write time: none`},
		{"lon,lat,rate", "-93.5,42.5,high", `column "rate" has the name of the role rate, but its values, such as "high"`},
		{"lon,lat,sections", "-93.5,42.5,all", `column "sections" has the name of the role sections`},
	} {
		_, err := readText(t, c.header+"\n"+c.cells+"\n")
		require.ErrorContains(t, err, c.want)
	}
	log := mustRead(t, "lon,lat,speed,depth_cm,rate_kg_ha\n-93.5,42.5,fast,NaN,\n")
	require.Nil(t, log.Speed)
	require.Len(t, log.Notes, 1)
	require.Contains(t, log.Notes[0], `column "speed" has the name of the role speed, but its values, such as "fast", do not fit it`)
}

// One wild value in ten does not hide a column; two do.
func TestMostOfTheValuesMustFit(t *testing.T) {
	rows := func(wild int) []string {
		var out []string
		for i := range 10 {
			heading := "90"
			if i < wild {
				heading = "9999"
			}
			out = append(out, "-93.5,42.5,"+heading)
		}
		return out
	}
	require.Equal(t, "course", rolesOf(t, "lon,lat,course", rows(1)...)["heading"])
	require.NotContains(t, rolesOf(t, "lon,lat,course", rows(2)...), "heading")
}
