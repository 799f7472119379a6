package response

import (
	"fmt"
	"strings"
)

// Model is the form of a response curve.
type Model int

// The forms. NoResponse is a level line: a trial in which nitrogen did nothing,
// which a mean over trials must count. Best asks for a choice among the first
// three; no curve has it.
const (
	Quadratic Model = iota + 1
	QuadraticPlateau
	LinearPlateau
	NoResponse
	Best
)

var modelNames = map[Model]string{
	Quadratic: "quadratic", QuadraticPlateau: "quadratic-plateau",
	LinearPlateau: "linear-plateau", NoResponse: "no response", Best: "best",
}

// ParseModel reads "quadratic", "quadratic-plateau", "linear-plateau" or "best".
func ParseModel(s string) (Model, error) {
	name := strings.ToLower(strings.TrimSpace(s))
	for _, m := range []Model{Quadratic, QuadraticPlateau, LinearPlateau, Best} {
		if name == modelNames[m] {
			return m, nil
		}
	}
	return 0, fmt.Errorf("%q is no form of a response curve; write quadratic, quadratic-plateau, linear-plateau or best", s)
}

// String is the word that ParseModel reads.
func (m Model) String() string {
	if name, ok := modelNames[m]; ok {
		return name
	}
	return "unknown"
}
