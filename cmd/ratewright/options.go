package main

import (
	"errors"
	"flag"
	"io"
	"path/filepath"
	"strconv"
	"strings"

	"ratewright/geo/unit"
)

// options are what the commands with a job share.
type options struct {
	out         string
	application string
	skeleton    bool
	season      seasonOptions
	png         string
	simplify    unit.Length
	words       []string // what is no flag, in order
}

// parse reads flags that may stand before, between and after the other words.
// allowed names the flags of the command.
func parse(name string, args []string, allowed ...string) (options, error) {
	var o options
	flags := flag.NewFlagSet(name, flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	for _, f := range allowed {
		switch f {
		case "o":
			flags.Func("o", "", notEmpty(&o.out, "a folder"))
		case "application":
			flags.Func("application", "", notEmpty(&o.application, "the name of an application"))
		case "simplify":
			flags.Func("simplify", "", func(text string) error {
				by, err := unit.ParseLength(text)
				if err == nil && by <= 0 {
					err = errors.New("it must be above zero, such as 0.5 m")
				}
				o.simplify = by
				return err
			})
		case "png":
			flags.Func("png", "", func(file string) error {
				if !strings.EqualFold(filepath.Ext(file), ".png") || strings.HasPrefix(filepath.Base(file), ".") {
					return errors.New("give a file name that ends with .png")
				}
				o.png = file
				return nil
			})
		case "job":
			flags.BoolVar(&o.skeleton, "job", false, "")
		case "j":
			flags.Func("j", "", notEmpty(&o.season.workers, "a number of processors"))
		case "shard":
			flags.Func("shard", "", notEmpty(&o.season.shard, "which shard, such as 3/20"))
		case "fresh":
			flags.BoolVar(&o.season.fresh, "fresh", false, "")
		case "join":
			flags.BoolVar(&o.season.join, "join", false, "")
		case "json":
			flags.Bool("json", false, "") // asksForJSON has seen it
		}
	}
	args, rest := cutAtDashes(args)
	for len(args) > 0 {
		if err := flags.Parse(args); err != nil {
			return o, flagError(name, err, allowed)
		}
		if args = flags.Args(); len(args) > 0 {
			o.words = append(o.words, args[0])
			args = args[1:]
		}
	}
	o.words = spread(append(o.words, rest...))
	return o, nil
}

// notEmpty sets a flag to a text. An empty one is refused, for it is mostly a variable of a
// shell script that was never set, and would be taken for a flag that was not given.
func notEmpty(to *string, what string) func(string) error {
	return func(text string) error {
		if strings.TrimSpace(text) == "" {
			return errors.New("give " + what + ", or leave the flag out")
		}
		*to = text
		return nil
	}
}

// cutAtDashes takes what follows "--" apart: it holds no flags.
func cutAtDashes(args []string) (before, after []string) {
	for i, a := range args {
		if a == "--" {
			return args[:i], args[i+1:]
		}
	}
	return args, nil
}

func flagError(name string, err error, allowed []string) error {
	if errors.Is(err, flag.ErrHelp) {
		return wrongUse(name, "unknown flag -help")
	}
	text := strings.TrimPrefix(err.Error(), "flag provided but not defined: ")
	if text != err.Error() {
		return wrongUse(name, "unknown flag %s; this command knows %s", text, "-"+strings.Join(allowed, ", -"))
	}
	return wrongUse(name, "%s", err)
}

// asksForJSON looks for --json before any flag is read, so that wrong use is
// reported in the form asked for.
func asksForJSON(args []string) (asks bool) {
	before, _ := cutAtDashes(args)
	for _, a := range before {
		flag, value, given := strings.Cut(strings.TrimPrefix(strings.TrimPrefix(a, "-"), "-"), "=")
		if flag != "json" || !strings.HasPrefix(a, "-") {
			continue
		}
		on, err := strconv.ParseBool(value)
		asks = !given || on && err == nil
	}
	return asks
}

func wantsHelp(args []string) bool {
	before, _ := cutAtDashes(args)
	for _, a := range before {
		switch a {
		case "-h", "-help", "--help":
			return true
		}
	}
	return false
}

// oneWord returns the single word a command needs.
func (o options) oneWord(command, what string) (string, error) {
	switch len(o.words) {
	case 0:
		return "", wrongUse(command, "%s is missing", what)
	case 1:
		return o.words[0], nil
	default:
		return "", wrongUse(command, "one %s at a time, but there are %d: %s", what, len(o.words), strings.Join(o.words, " "))
	}
}

// outDir is where the outputs of a job go.
func (o options) outDir(jobFile string) string {
	if o.out != "" {
		return o.out
	}
	return filepath.Join(filepath.Dir(jobFile), "out")
}
