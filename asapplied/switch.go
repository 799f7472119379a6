package asapplied

import (
	"fmt"
	"slices"
	"strings"
)

// A column of on/off words may be the switch that says whether the machine works.
// Left out, ground with the bar up counts as covered, and no figure shows it; so a
// log that has one and no role working is never read without a word about it.

// switchWords are words of a name that make a column of 0 and 1 one of a switch.
var switchWords = []string{
	"on", "off", "status", "state", "switch", "engaged", "engage", "active", "enabled", "work", "working", "worked", "lowered",
	"raised", "lifted", "lift", "down", "up", "master", "boom", "applying", "apply", "spraying", "recording", "run", "valve",
}

// switches lists the columns without a role that may say whether the machine
// works, where neither the job nor a guess says it.
func (m *mapping) switches(spec LogSpec) []int {
	if _, said := spec.Columns[RoleWorking]; said || m.has(RoleWorking) {
		return nil
	}
	var cols []int
	for i := range m.facts {
		if !m.taken[i] && m.facts[i].isSwitch() {
			cols = append(cols, i)
		}
	}
	return cols
}

// isSwitch reports whether a column holds on/off words. Numbers, and one letter
// that is always the same, mean many things: there the name must say it as well.
func (f *facts) isSwitch() bool {
	fit, words := 0, false
	var letters [2]bool
	for value, n := range f.distinct {
		state, ok := parseState([]byte(value))
		number := value[0]-'0' <= 9
		if !ok || number && state == stateError {
			continue
		}
		fit += n
		switch {
		case number:
		case len(value) > 1:
			words = true
		default:
			letters[state] = true
		}
	}
	if f.many || !f.most(fit) {
		return false
	}
	isWord := func(w string) bool { return slices.Contains(switchWords, w) }
	return words || letters[stateOff] && letters[stateOn] || slices.ContainsFunc(nameWords(f.name), isWord)
}

func (m *mapping) noteSwitches(spec LogSpec) {
	for _, i := range m.switches(spec) {
		m.notes = append(m.notes, fmt.Sprintf("%s: column %q holds on/off words, such as %q, and was left out: if it says whether the machine works, ground counts as covered where it is off; %s",
			m.path, m.facts[i].name, m.facts[i].example(), sayWorking(m.facts[i].name)))
	}
}

func sayWorking(name string) string {
	return fmt.Sprintf("write working: %s under columns if it does, or working: none", yamlText(name))
}

// askSwitches leaves to the user which of these columns says that the machine
// works.
func (in *Inspection) askSwitches(m *mapping) {
	for _, i := range m.switches(LogSpec{}) {
		in.Columns[i].Missing = "it holds on/off words and may say whether the machine works; " + sayWorking(m.facts[i].name)
	}
}

// working opens the line of that role where a column may have it.
func (k *skeleton) working(l *Inspection) {
	var names []string
	for _, c := range l.Columns {
		if c.Role == "" && c.Missing != "" {
			names = append(names, yamlText(c.Name))
		}
	}
	if len(names) > 0 {
		k.line(10, RoleWorking+":", "say which tells whether the machine works, or none: "+strings.Join(names, ", "))
	}
}
