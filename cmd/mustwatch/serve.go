package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"cellar.example/mustwatch/store/journal"
	"cellar.example/mustwatch/store/link"
)

func (p *program) serveCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "serve",
		Short: "Keep the board running without a screen, for screens to join and leave",
		Long: `Keeps the journal open and the clocks going with nothing on a screen, so that
every screen can be closed: alarms still come. mustwatch, mustwatch wall and the
other commands on this machine join it; the first screen to open lists what rang
and nobody acknowledged. Beside a board that runs it waits, and keeps the clocks
once that board has ended. It ends by Ctrl+C or when the system ends it.

A terminal bell rings only where a screen is open.`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return p.serveAlone(cmd.Context()) },
	}
	p.desk.flags(cmd)
	for _, f := range []string{"light", "ascii", "by"} {
		_ = cmd.Flags().MarkHidden(f)
	}
	return cmd
}

func (p *program) serveAlone(ctx context.Context) error {
	path, err := p.path()
	if err != nil {
		return err
	}
	defer p.openLog(path)()
	h, err := p.join(ctx, path, journal.Options{Station: p.station()})
	if err != nil {
		return err
	}
	p.desk.noScreen = true
	if h.joined != nil {
		fmt.Fprintf(p.stdout, "The board at %s keeps %s. When it ends this goes on with the clocks; end it with "+
			"Ctrl+C.\n", clean(h.joined.Hello().Station), path)
	} else {
		fmt.Fprintf(p.stdout, "Serving %s at %s. Join it with mustwatch or mustwatch wall; end it with Ctrl+C.\n", path,
			link.Path(path))
	}
	return h.letGo(p.show(ctx, h, p.clock(h), nil))
}
