package main

import (
	"context"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/journal"
)

func (p *program) verifyCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "verify",
		Short: "Check that the journal is intact",
		Long: `Walks every record of the journal from the first to the last, checks that each
follows from the one before, and says what it found. Nothing is changed.`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return p.verify(cmd.Context()) },
	}
}

func (p *program) verify(ctx context.Context) error {
	path, err := p.path()
	if err != nil {
		return err
	}
	j, err := journal.Open(path, journal.Options{ReadOnly: true})
	if err != nil {
		return explain(err, path)
	}
	defer j.Close()
	if err := j.Verify(ctx); err != nil {
		return explain(err, path)
	}
	// A record may be whole and still mean nothing to this program.
	state, err := cellar.Replay(ctx, j)
	if err != nil {
		return explain(err, path)
	}
	kept, err := keptSays(ctx, j, state)
	if err != nil {
		return refused("The journal itself is intact.", "{path}: {wrong}.", path, err)
	}
	info := j.Info()
	seq, hash := j.Head()
	fmt.Fprintf(p.stdout, "%s is intact.\n", path)
	fmt.Fprintf(p.stdout, "  %s journal, begun %s\n", info.Kind, info.Created.UTC().Format(time.RFC3339))
	fmt.Fprintf(p.stdout, "  %d records, each follows from the one before\n", seq)
	fmt.Fprintf(p.stdout, "  head %d %s, the one printed on a sheet of this state\n", seq, hash)
	if kept != "" {
		fmt.Fprintln(p.stdout, kept)
	}
	if err := j.Warning(); err != nil {
		fmt.Fprintln(p.stderr, clean("mustwatch: note: "+err.Error()))
	}
	return nil
}
