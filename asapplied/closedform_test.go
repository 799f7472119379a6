package asapplied

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/rx"
)

// TestClosedForm works a field of 60 m by 40 m out by hand. The bar is 20 m wide
// with four sections of 5 m and drives north; a record stands for 10 m.
//
//	plan: A  x 0-30             100 kg N/ha
//	      B  x 30-60, y 0-30     50 kg N/ha
//	      Z  x 30-60, y 30-40     0 (a prescribed zero)
//	tolerance 10 %, depth limit 6 cm
//
//	pass 1, x 0-20    0-10  100      10-20  80     20-30 120, left half on   30-40 100 at 4 cm
//	pass 2, x 20-40   0-10  100      10-20 100, third section at 4 cm
//	                                               20-30  50                 30-40 100
//	pass 3, x 38-58   0-10   50      10-20  60     20-30  50, last section 100
//	                                                                         30-40   0: not at work
//
// Areas, m²:
//
//	covered        pass 1 200+200+100+200, pass 2 800, pass 3 600 less the lap 2 x 30   2040
//	doubled        x 38-40, y 0-30                                                       60
//	missed         pass 1 row 3 right half 100; x 58-60, y 0-30: 60                      160
//	not planned    Z where pass 3 is off: x 40-60                                        200
//	as prescribed  pass 1 rows 1, 4: 400; pass 2 in A rows 1, 2, 4: 300;
//	               pass 2 x 30-38 row 3: 80; pass 3 x 40-58 row 1: 180, x 40-53 row 3: 130  1090
//	light          pass 1 row 2: 200; pass 2 in A row 3: 100                             300
//	heavy          pass 1 row 3: 100; x 30-38 rows 1, 2: 160; the lap: 60;
//	               pass 3 x 40-58 row 2: 180; x 53-58 row 3: 50                          550
//	unprescribed   pass 2 in Z: 10 x 10                                                  100
//	shallow        pass 1 row 4: 200; x 30-35 row 2 of pass 2: 50                        250
//
// Nitrogen, kg (kg/ha x m² / 10000):
//
//	prescribed     A 1200 m² x 100, B 900 m² x 50                                        16.5
//	in field       pass 1 2.0+1.6+1.2+2.0; pass 2 2.0+2.0+1.0+2.0; pass 3 1.0+1.2+1.25   17.25
//	short          0.4 (pass 1 row 2), 1.0 (its row 3 off), 0.5 (pass 2 in A row 3), 0.3 (x 58-60)   2.2
//	  of it        on missed ground 1.0+0.3, on light ground 0.4+0.5                     1.3, 0.9
//	excess         0.2, 0.8 (x 30-38), 0.2+0.22+0.1 (lap), 1.0 (Z), 0.18, 0.25           2.95
//	shallow        2.0, 0.5                                                              2.5
func TestClosedForm(t *testing.T) {
	p := testPlane(t)
	on := func(r ...bool) []bool { return r }
	all := on(true, true, true, true)
	flat := func(v float64) [4]float64 { return [4]float64{v, v, v, v} }
	type row struct {
		sections    []bool
		rate, depth [4]float64
	}
	deep := flat(0.10)
	passes := []struct {
		x    float64
		rows []row
	}{
		{10, []row{
			{all, flat(100), deep},
			{all, flat(80), deep},
			{on(true, true, false, false), flat(120), deep},
			{all, flat(100), flat(0.04)},
		}},
		{30, []row{
			{all, flat(100), deep},
			{all, flat(100), [4]float64{0.10, 0.10, 0.04, 0.10}},
			{all, flat(50), deep},
			{all, flat(100), deep},
		}},
		{48, []row{
			{all, flat(50), deep},
			{all, flat(60), deep},
			{all, [4]float64{50, 50, 50, 100}, deep},
			{all, flat(0), deep},
		}},
	}
	log := Log{Files: []string{"closed form"}, Sections: Bits{N: 4}, Rate: Lanes{N: 4}, Depth: Lanes{N: 4}}
	var clock int64
	add := func(x, y float64, r row, working int8) {
		ll := p.Unproject(orb.Point{x, y})
		log.File = append(log.File, 0)
		log.Line = append(log.Line, int32(len(log.Line)+2))
		log.TimeNS = append(log.TimeNS, clock*1e9)
		log.Lon, log.Lat = append(log.Lon, ll[0]), append(log.Lat, ll[1])
		log.Heading = append(log.Heading, -p.GridAzimuth(ll, 0))
		log.Working = append(log.Working, working)
		var w uint64
		for i, s := range r.sections {
			if s {
				w |= 1 << i
			}
		}
		log.Sections.Words = append(log.Sections.Words, w)
		log.Rate.V = append(log.Rate.V, r.rate[:]...)
		log.Depth.V = append(log.Depth.V, r.depth[:]...)
		log.Target = append(log.Target, 999) // a set rate is never what was applied
		log.Read++
		clock += 5
	}
	for _, pass := range passes {
		for i, r := range pass.rows {
			add(pass.x, 10*float64(i), r, 1)
		}
		add(pass.x, 40, pass.rows[3], 0)
		clock += 100
	}
	box := func(x0, y0, x1, y1 float64) geo.Region { return region(t, p, x0, y0, x1, y1) }
	ground := box(0, 0, 60, 40)
	r := mustReconcile(t, Input{
		Field:  rx.Field{Name: "closed form", Plane: p, Boundary: ground, Ground: ground},
		Drives: []Drive{{Log: log, Machine: Machine{Name: "m", Width: unit.Metres(20), SectionCount: 4}}},
		Plan: []rx.RateZone{
			{ZoneID: "A", Region: box(0, 0, 30, 40), NRate: unit.KgNPerHa(100)},
			{ZoneID: "B", Region: box(30, 0, 60, 30), NRate: unit.KgNPerHa(50)},
			{ZoneID: "Z", Region: box(30, 30, 60, 40), NRate: 0},
		},
		Zones: []rx.Zone{
			{ID: "A", Region: box(0, 0, 30, 40)}, {ID: "B", Region: box(30, 0, 60, 30)}, {ID: "Z", Region: box(30, 30, 60, 40)},
		},
		Tolerance: 0.10, Shallow: unit.Metres(0.06), HasShallow: true,
	})
	want := Areas{
		Field: 2400, Covered: 2040, Once: 1980, Doubled: 60, Missed: 160, NotPlanned: 200,
		AsPrescribed: 1090, Light: 300, Heavy: 550, Unprescribed: 100, Shallow: 250,
	}
	wantN := Nitrogen{
		Prescribed: 16.5, Applied: 17.25, InField: 17.25, Short: 2.2, Excess: 2.95, ShortMissed: 1.3, ShortLight: 0.9, Shallow: 2.5,
	}
	// Places go through degrees and back, which costs some 1e-8 m.
	for i, v := range want.fields() {
		require.InDelta(t, *v, *r.Area.fields()[i], 1e-5, "area %d", i)
	}
	for i, v := range wantN.fields() {
		require.InDelta(t, *v, *r.Nitrogen.fields()[i], 1e-7, "nitrogen %d", i)
	}
	require.Equal(t, "Z", r.Zones[2].ID)
	require.InDelta(t, 300, r.Zones[2].Area.Field, 1e-5)
	require.InDelta(t, 200, r.Zones[2].Area.NotPlanned, 1e-5)
	// The last record of pass 3 and the three with the bar up did not work.
	require.Equal(t, Records{Read: 15, Used: 11, NotWorking: 4, Dropped: map[string]int{}}, r.Records)
}
