package asapplied

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

// readColumns reads a log that has, besides what places it, columns of the given
// names, all of the same values.
func readColumns(t *testing.T, change func(*LogSpec), names ...string) (Log, error) {
	t.Helper()
	text := "time,lon,lat,heading,sections,depth_cm"
	for _, name := range names {
		text += "," + name
	}
	for i := range 4 {
		text += fmt.Sprintf("\n2024-05-06T12:00:0%dZ,-93.5,42.50%d,0,1111,15", i, i)
		for range names {
			text += ",180"
		}
	}
	spec := LogSpec{
		Files: []string{written(t, "log.csv", text+"\n")}, Units: map[string]string{}, Columns: map[string][]string{},
		Of: unit.Nitrogen, HasOf: true,
	}
	change(&spec)
	return ReadLog(spec)
}

func asWritten(*LogSpec) {}

func rateInPounds(s *LogSpec) { s.Units[RoleRate] = "lb/ac" }

// A name that may be one of a setpoint stops the reading until the job says what
// it is.
func TestASetpointIsNotGuessedAsTheRate(t *testing.T) {
	for _, name := range []string{
		"TgtRate_lb_ac", "Rt_Tgt_lb_ac", "Rate Setting lb/ac", "Rate commanded lb/ac", "Rate cmd", "Rate Cmd 1 (lb/ac)",
		"cmd rate lb N/ac", "Rate 2 lb/ac", "UAN rate gal/ac", "LB_N_AC", "GAL_AC", "Tgt lb/ac", "Applied as told lb/ac",
	} {
		for _, change := range []func(*LogSpec){asWritten, rateInPounds} {
			_, err := readColumns(t, change, name)
			require.ErrorContains(t, err, fmt.Sprintf(`column %q may be a rate that was measured or one that was set`, name), name)
			require.ErrorContains(t, err, "write columns: {rate: NAME} if it was measured, columns: {target: NAME} if it was set, or columns: {rate: none}")
		}
	}
	_, err := readColumns(t, asWritten, "Tgt Rate 1 lb/ac", "Tgt Rate 2 lb/ac") // not a list of lanes either
	require.ErrorContains(t, err, `each of columns "Tgt Rate 1 lb/ac" and "Tgt Rate 2 lb/ac" may be a rate`)
}

func TestWhatIsSaidOfAnUnclearRateIsTaken(t *testing.T) {
	log, err := readColumns(t, func(s *LogSpec) { s.Columns[RoleTarget] = []string{"TgtRate_lb_ac"} }, "TgtRate_lb_ac")
	require.NoError(t, err)
	require.Zero(t, log.Rate.N)
	require.InDelta(t, 201.7, log.Target[0], 0.1)
	log, err = readColumns(t, func(s *LogSpec) { s.Columns[RoleRate] = []string{"TgtRate_lb_ac"} }, "TgtRate_lb_ac")
	require.NoError(t, err)
	require.Equal(t, 1, log.Rate.N)
	log, err = readColumns(t, func(s *LogSpec) { s.Columns[RoleRate] = []string{None} }, "TgtRate_lb_ac")
	require.NoError(t, err)
	require.Zero(t, log.Rate.N)
}

func TestUsualNamesOfASetpointAreItsOnly(t *testing.T) {
	for _, name := range []string{"Rx rate", "Control Rate", "Desired rate", "Target rate", "Set rate", "Prescribed rate 2"} {
		log, err := readColumns(t, rateInPounds, name)
		require.NoError(t, err, name)
		require.Zero(t, log.Rate.N, name)
		log, err = readColumns(t, asWritten, name+" lb/ac")
		require.NoError(t, err, name)
		require.Zero(t, log.Rate.N, name)
		require.Len(t, log.Target, 4, name)
	}
}

func TestUsualNamesOfAMeasuredRateAreGuessed(t *testing.T) {
	for _, name := range []string{
		"rate_lb_ac", "rate lb N/ac", "N rate (lb/ac)", "Applied Rate (lb/ac)", "As applied lb/ac", "ActualRate_lb_ac", "Measured rate kg/ha",
		"Rate applied lb/ac", "As-Applied Rate (lb/ac)",
	} {
		log, err := readColumns(t, asWritten, name)
		require.NoError(t, err, name)
		require.Equal(t, 1, log.Rate.N, name)
		log, err = readColumns(t, asWritten, "TgtRate_lb_ac", name)
		require.NoError(t, err, name)
		require.Equal(t, []string{name}, log.Mapping[len(log.Mapping)-2].Columns)
	}
	_, err := readColumns(t, asWritten, "Rate lb/ac", "Applied rate lb/ac") // the first is likely the one that was set
	require.ErrorContains(t, err, `columns "Rate lb/ac" and "Applied rate lb/ac" fit the role rate equally well`)
	log, err := readColumns(t, asWritten, "Yield rate lb/ac", "turn rate", "Applied width ft")
	require.NoError(t, err)
	require.Zero(t, log.Rate.N)
	require.Len(t, log.Width, 4)
}

func TestASetFlowIsNotGuessedAsTheFlow(t *testing.T) {
	log, err := readColumns(t, asWritten, "Tgt flow lb/min")
	require.NoError(t, err)
	require.Nil(t, log.Flow)
	require.Len(t, log.Notes, 1)
	require.Contains(t, log.Notes[0], `column "Tgt flow lb/min" may be a flow that was measured or one that was set`)
	log, err = readColumns(t, asWritten, "Product flow lb/min")
	require.NoError(t, err)
	require.Len(t, log.Flow, 4)
}

func TestASetDepthIsNotGuessedAsTheDepth(t *testing.T) {
	for _, name := range []string{"Tgt depth in", "Depth cmd in", "Depth setting in"} {
		text := "lon,lat," + name + "\n-93.5,42.5,7\n"
		require.Zero(t, mustRead(t, text).Depth.N, name)
	}
}

func TestInspectNamesAnUnclearRate(t *testing.T) {
	in := inspected(t, written(t, "log.csv", "time,lon,lat,TgtRate_lb_ac\n2024-05-06 12:00:00,-93.5,42.5,180\n"))
	require.Equal(t, "", column(t, in, "TgtRate_lb_ac").Role)
	require.Len(t, in.Faults, 1)
	require.Contains(t, in.Faults[0], `column "TgtRate_lb_ac" may be a rate that was measured or one that was set`)
}

// What is the rate of a zone is to be put down: nothing else is meant.
func TestInspectFindsTheRateOfZones(t *testing.T) {
	in := inspected(t, written(t, "zones.geojson", `{"type":"FeatureCollection","features":[
{"type":"Feature","geometry":`+square(-93.6, 42.03)+`,"properties":{"ZONE":"A","N_LB_AC":150}},
{"type":"Feature","geometry":`+square(-93.5, 42.03)+`,"properties":{"ZONE":"B","N_LB_AC":180}}]}`))
	c := column(t, in, "N_LB_AC")
	require.Equal(t, []string{RoleRate, "lb/ac", "nitrogen", "a word of its name; values 150 to 180"}, []string{c.Role, c.Unit, c.Of, c.Why})
}
