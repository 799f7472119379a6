package asapplied

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// switchLog is a log of four records with one more column.
func switchLog(name string, values ...string) string {
	text := "lon,lat,heading," + name
	for i := range 4 {
		text += "\n-93.5,42.50" + string(rune('0'+i)) + ",0," + values[i%len(values)]
	}
	return text + "\n"
}

func TestUsualNamesOfTheWorkSwitch(t *testing.T) {
	for _, name := range []string{
		"Work_Switch", "WorkSwitch", "Engaged", "Implement Engaged", "Product On", "Product_Status", "Application On",
		"Master On", "Boom On", "Toolbar Down", "Lowered", "IsApplying",
	} {
		for _, values := range [][]string{{"On", "Off"}, {"1", "0"}, {"yes", "no"}, {"TRUE", "FALSE"}} {
			log := mustRead(t, switchLog(name, values...))
			require.Equal(t, []int8{1, 0, 1, 0}, log.Working, name)
			require.Empty(t, log.Notes, name)
			last := log.Mapping[len(log.Mapping)-1]
			require.Equal(t, RoleWorking, last.Role)
			require.Contains(t, last.Why, "a usual name; values ")
		}
		require.Nil(t, mustRead(t, switchLog(name, "40", "41")).Working, "the values must fit")
	}
}

// What may be that switch is not taken and not left out in silence either.
func TestASwitchWithoutARoleIsAsked(t *testing.T) {
	for _, c := range []struct{ name, values, why string }{
		{"Status", "On Off", ""},
		{"Status", "1 0", ""},
		{"On/Off", "1 0", ""},
		{"Col7", "yes no", ""},
		{"Col7", "true true", "words need no name, nor two values"},
		{"Col7", "Y N", ""},
		{"Hitch position", "up down", ""},
	} {
		log := mustRead(t, switchLog(c.name, strings.Fields(c.values)...))
		require.Nil(t, log.Working)
		require.Len(t, log.Notes, 1, c.name)
		require.Contains(t, log.Notes[0], `column "`+c.name+`" holds on/off words, such as "`)
		require.Contains(t, log.Notes[0], "write working: "+yamlText(c.name)+" under columns if it does, or working: none")

		in := inspected(t, written(t, "log.csv", switchLog(c.name, strings.Fields(c.values)...)))
		require.Contains(t, in.String(), "to say: "+c.name+": it holds on/off words and may say whether the machine works; write working: "+yamlText(c.name))
		require.Contains(t, Skeleton([]Inspection{in}), "\n          working:            # say which tells whether the machine works, or none: "+yamlText(c.name)+"\n")

		for _, said := range []string{c.name, None} {
			log = mustRead(t, switchLog(c.name, strings.Fields(c.values)...), func(s *LogSpec) { s.Columns = map[string][]string{RoleWorking: {said}} })
			require.Empty(t, log.Notes, said)
			require.Equal(t, said == None, log.Working == nil)
		}
	}
}

func TestOtherColumnsAreNoSwitch(t *testing.T) {
	for _, c := range []struct{ name, values string }{
		{"Pass", "1 0"},         // numbers whose name says nothing of a switch
		{"Hemisphere", "N N"},   // one letter
		{"Status", "2 3"},       // not on, not off
		{"Status", "good poor"}, // other words
		{"State", "IA IA"},
	} {
		require.Empty(t, mustRead(t, switchLog(c.name, strings.Fields(c.values)...)).Notes, c.name)
	}
	log := mustRead(t, switchLog("working,Status", "1,On", "0,Off"))
	require.Empty(t, log.Notes, "the log has its switch")
	require.Equal(t, []int8{1, 0, 1, 0}, log.Working)
}

func TestALogOutOfWorkNamesNothingLeftOut(t *testing.T) {
	p := newPilot(t, 20, 2, 0, -20, 0)
	p.on = false
	p.record()
	_, err := Reconcile(Input{Field: boxField(t, p.plane, 60, 60), Drives: []Drive{p.drive("m")}, Tolerance: 0.1})
	require.ErrorContains(t, err, "read 1, out of work 1, left out none; check the columns")
}
