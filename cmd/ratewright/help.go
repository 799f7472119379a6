package main

import (
	"fmt"
	"strings"

	"ratewright/cmd/ratewright/internal/job"
)

// What the help says of flags that several commands take.
const (
	outFlag  = "  -o DIR              where the outputs go (default: out/ beside the job file)\n"
	oneFlag  = "  --application NAME  which application of the job; needed where it has several\n"
	anyFlag  = "  --application NAME  which application of the job; all without one\n"
	pngFlag  = "  --png FILE          write the picture of the map as a PNG, too, 1600 pixels wide\n"
	jsonFlag = "  --json              print exactly the summary JSON; an error is JSON on stderr\n"

	flagTable = "Flags:\n" + outFlag + oneFlag + pngFlag + jsonFlag
)

// help prints the list of commands, or the help of one.
func (c *call) help(args []string) error {
	name := ""
	if len(args) > 0 {
		name = args[0]
	}
	if name == "help" { // help of the help is the list
		name = ""
	}
	if name != "" && !isCommand(name) {
		return wrongUse("", "unknown command %q", name)
	}
	_, err := fmt.Fprint(c.stdout, helpText(name))
	return err
}

func isCommand(name string) bool {
	for _, cmd := range commands() {
		if cmd.name == name {
			return true
		}
	}
	return false
}

func helpText(name string) string {
	var b strings.Builder
	if name == "" {
		b.WriteString("ratewright makes nitrogen rate maps and tells what the machine did with them.\n\n")
	}
	b.WriteString(usageText(name))
	for _, cmd := range commands() {
		if cmd.name == name {
			b.WriteString("\n" + strings.TrimSpace(cmd.help) + "\n")
		}
	}
	b.WriteString("\n" + exitTable)
	return b.String()
}

// usageText is the short form that wrong use prints.
func usageText(name string) string {
	for _, cmd := range commands() {
		if cmd.name == name {
			return fmt.Sprintf("Usage: %s\n  %s\n", strings.TrimSpace("ratewright "+cmd.name+" "+cmd.args), cmd.about)
		}
	}
	var b strings.Builder
	b.WriteString("Usage: ratewright COMMAND [JOB.yaml] [-o DIR] [--json]\n\nCommands:\n")
	for _, cmd := range commands() {
		fmt.Fprintf(&b, "  %-20s %s\n", strings.TrimSpace(cmd.name+" "+shortArgs(cmd.args)), cmd.about)
	}
	b.WriteString("\n`ratewright help COMMAND` tells more of one.\n")
	return b.String()
}

// shortArgs leaves the flags out.
func shortArgs(args string) string {
	words, _, _ := strings.Cut(args, " [")
	return words
}

var versionCommand = command{
	name: "version", about: "which release this is",
	help: "Prints the version that the build recorded.",
	run: func(c *call, args []string) error {
		if len(args) > 0 {
			return wrongUse("version", "it takes no further words")
		}
		_, err := fmt.Fprintln(c.stdout, "ratewright "+job.Version())
		return err
	},
}
