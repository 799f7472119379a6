package job

import (
	"fmt"
	"strings"
)

// ChoiceError says that a command does not name which application it is about.
type ChoiceError struct {
	Asked string   // empty where none was named
	Names []string // of the job's applications
}

func (e *ChoiceError) Error() string {
	names := strings.Join(e.Names, ", ")
	switch {
	case len(e.Names) == 0 && e.Asked != "":
		return fmt.Sprintf("the job has no application, so none is named %q", e.Asked)
	case e.Asked == "":
		return "the job has several applications; choose one with --application: " + names
	default:
		return fmt.Sprintf("the job has no application %q; did you mean %q? it has %s", e.Asked, nearest(e.Asked, e.Names), names)
	}
}

// application finds the application a command is about: the named one, or the
// only one. nil stands for a job without applications.
func (j Job) application(name string) (*ApplicationSpec, error) {
	names := make([]string, len(j.Applications))
	for i := range j.Applications {
		names[i] = j.Applications[i].Name
		if names[i] == name || name == "" && len(j.Applications) == 1 {
			return &j.Applications[i], nil
		}
	}
	if len(names) == 0 && name == "" {
		return nil, nil
	}
	return nil, &ChoiceError{Asked: name, Names: names}
}
