// Command mustwatch keeps the board of a winery cellar through the night: what
// is due, what may move, and the sheet for those who come in the morning.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
	_ "time/tzdata" // Windows and small systems have no zones of their own

	_ "cellar.example/mustwatch/cmd/mustwatch/quiet" // must start before the screen library
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	code := newProgram().run(ctx, os.Args[1:])
	stop()
	os.Exit(code)
}
