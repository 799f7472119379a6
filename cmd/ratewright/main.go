// Command ratewright turns field boundaries and zones into rate maps for
// nitrogen, and machine logs into what was missed, doubled or too shallow.
//
// Run it without arguments for its commands. The exit codes are those of the
// table in exit.go, which every help shows.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime"
	"runtime/debug"
	"syscall"
)

// gcPercent lets the heap grow by half before it is swept: a large log then peaks
// at two thirds of the memory for a few percent of the time.
const gcPercent = 50

// ballast counts as heap but is never touched, so that it takes no memory: the heap of
// a small log is not swept dozens of times on its way to what every laptop has. A tenth
// of the time of such a log went there.
const ballast = 32 << 20

func main() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(gcPercent)
	}
	held := make([]byte, ballast)
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	runtime.KeepAlive(held)
	os.Exit(code)
}
