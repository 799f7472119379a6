package page

import "strings"

// Choice is what a zone of a plan can get, with the letter that stands for it on the
// map.
type Choice struct{ Letter, Name string }

// choiceInk is how ground of a choice is filled: by a pattern, in a colour for light
// and for dark. Neighbours in the list differ in both, and each has its letter; beyond
// the list they begin anew, told apart by the letter alone.
type choiceInk struct{ Pattern, Light, Dark string }

var choiceInks = []choiceInk{
	{"hatch", "#1f6b4f", "#7fd1ad"},
	{"dots", "#8a4b00", "#f0b050"},
	{"bars", "#5b2a86", "#c79bf2"},
	{"ring", "#4b4b4b", "#c4c4c4"},
	{"cross", "#9c2f4f", "#ff9db5"},
}

// choiceOf is the place of a zone's choice in the list; -1 where nothing is chosen.
func (m Map) choiceOf(z Zone) int {
	for i := range m.Choices {
		if z.Choice != "" && m.Choices[i].Letter == z.Choice {
			return i
		}
	}
	return -1
}

// fills is in how many ways zones are filled: by what was chosen for them where there is
// a choice, else by steps of the ramp.
func (m Map) fills() int {
	if len(m.Choices) > 0 {
		return len(choiceInks)
	}
	return rampSteps
}

// fillOf is the way in which a zone is filled, -1 for none.
func (m Map) fillOf(z Zone) int {
	if len(m.Choices) == 0 {
		return rampStep(z.Rate, m.LowRate, m.HighRate)
	}
	if i := m.choiceOf(z); i >= 0 {
		return i % len(choiceInks)
	}
	return -1
}

// filled is a step that fills in a way.
func (m Map) filled(rings []line, way int) step {
	st := step{clip: true, rings: rings, stroke: "hair", width: 0.8, region: "zones"}
	if len(m.Choices) > 0 && way >= 0 {
		st.pattern = choicePattern(way)
	} else {
		st.fill = stepInk(way)
	}
	return st
}

func choicePattern(i int) string { return "c" + digit(i%len(choiceInks)) }

// choiceAt is the ink that a name such as c0 stands for.
func choiceAt(name string) (choiceInk, bool) {
	if len(name) != 2 || name[0] != 'c' || name[1] < '0' || int(name[1]-'0') >= len(choiceInks) {
		return choiceInk{}, false
	}
	return choiceInks[name[1]-'0'], true
}

// zoneLabel is what the map prints into a zone: the letter of what it gets, and its
// rate.
func (m Map) zoneLabel(z Zone) string {
	if len(m.Choices) == 0 {
		return shown(z.Label, 12)
	}
	return strings.TrimSpace(shown(z.Choice, 4) + " " + shown(z.Label, 12))
}
