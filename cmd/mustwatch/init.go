package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/journal"
	"cellar.example/mustwatch/testdata"
)

// maxHouse is the largest house file that is read, in bytes.
const maxHouse = 4 << 20

func (p *program) initCommand() *cobra.Command {
	var from string
	var example bool
	cmd := &cobra.Command{
		Use:   "init --from FILE",
		Short: "Set up a house and its journal",
		Long: `Reads one file that describes the house (people, vessels, presses, product lots,
booked loads, and the cellar as it stands now) and makes the journal from it. A
file with a fault makes nothing: every fault is named with its line. A journal
that is there already is never replaced.

Begin with:  mustwatch init --example > house.toml`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			switch {
			case example && from == "":
				_, err := p.stdout.Write(testdata.HouseExample)
				return err
			case example || from == "":
				return usage("init takes either --from FILE or --example.")
			}
			return p.setUp(cmd.Context(), from)
		},
	}
	cmd.Flags().StringVar(&from, "from", "", "the `file` that describes the house; - for what is piped in")
	cmd.Flags().BoolVar(&example, "example", false, "print an example of such a file, with its explanation")
	return cmd
}

// setUp makes the journal of the house that a file describes.
func (p *program) setUp(ctx context.Context, from string) error {
	path, err := p.path()
	if err != nil {
		return err
	}
	doc, err := p.readHouse(from)
	if err != nil {
		return err
	}
	plan, err := planHouse(doc, cellar.Instant(p.now()))
	if err != nil {
		return refused("Nothing was created.", "{file} cannot be used.\n{faults}", from, err)
	}
	if err := p.found(ctx, path, plan); err != nil {
		return err
	}
	call := "mustwatch"
	if p.journal != "" {
		call += " --journal " + path
	}
	_, err = fmt.Fprintf(p.stdout, "%s\nThe journal is %s. Open the board with: %s\n", clean(plan.sum()), path, call)
	return err
}

func (p *program) readHouse(from string) ([]byte, error) {
	in := p.stdin
	if from != "-" {
		f, err := os.Open(from)
		if err != nil {
			return nil, refused("Name the file of the house with --from.", "The house cannot be read: {wrong}.", err)
		}
		defer f.Close()
		in = f
	}
	doc, err := io.ReadAll(io.LimitReader(in, maxHouse+1))
	if err != nil {
		return nil, refused("Name the file of the house with --from.", "The house cannot be read: {wrong}.", err)
	}
	if len(doc) > maxHouse {
		return nil, refused("Name the file of the house with --from.", "{file} is too large to describe a house.", from)
	}
	return doc, nil
}

// found makes the journal and writes the plan into it as one unit. A journal
// that was made but never written, because the machine stopped between the two,
// is taken up; any other that exists is refused.
func (p *program) found(ctx context.Context, path string, plan *housePlan) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return refused("Name another place with --journal.", "There is no folder for the journal: {wrong}.", err)
	}
	err := journal.Create(path, journal.Info{Kind: journal.Real, Created: p.now()})
	if err != nil && !errors.Is(err, fs.ErrExist) {
		return refused("Name another place with --journal.", "The journal could not be created: {wrong}.", err)
	}
	h, err := hold(ctx, path, journal.Options{Station: "init"})
	if err != nil {
		return err
	}
	if h.state.Seq != 0 || h.rehearsal() {
		return h.letGo(refused("Name another place with --journal, or move it away yourself: init never replaces one.",
			"There is a journal at {path} already.", path))
	}
	if _, err := h.Append(ctx, 0, plan.records...); err != nil {
		return h.letGo(explain(err, path))
	}
	return h.letGo(nil)
}
