package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/store/journal"
	"cellar.example/mustwatch/tui/paper"
)

func (p *program) sheetCommand() *cobra.Command {
	var out, by string
	var back bool
	var which whichShift
	cmd := &cobra.Command{
		Use:   "sheet",
		Short: "Print the handover sheet as plain text",
		Long: `Prints the handover sheet as plain text. With --by it is printed for that person,
and the journal notes it: the next sheet and the board say what has changed since
this one. Without --by nothing is noted. Where nothing can be saved in the journal
the sheet is printed even so, and says that it is not noted.

With --shift or --last it prints the sheet of a shift of earlier, as the cellar was
at its end, by all that is known of it now: what was saved late or corrected since is
on it. What was done after a shift had ended and before the next began is on its sheet.`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			path, err := p.path()
			if err != nil {
				return err
			}
			var text string
			switch {
			case !which.asked():
				text, err = p.sheetFor(cmd.Context(), path, cellar.Initials(by), back)
			case by != "" || which.day != "" && which.last != 0:
				err = usage("Name one of --shift, --last and --by: the journal notes who has the sheet of now.")
			default:
				text, err = p.pastSheet(cmd.Context(), path, which, back)
			}
			if err != nil {
				return err
			}
			if out == "" || out == "-" {
				_, err = io.WriteString(p.stdout, text)
				return err
			}
			return p.saveSheet(out, path, text)
		},
	}
	cmd.Flags().StringVar(&out, "out", "", "save the sheet in this `file` instead")
	cmd.Flags().StringVar(&by, "by", "", "`initials` of the person it is printed for; the journal notes it")
	cmd.Flags().BoolVar(&back, "back", false, "with the back page: every tank, dose, test and event")
	cmd.Flags().StringVar(&which.day, "shift", "", "the sheet of a shift of that `day`, or that ran at a time of it, "+
		"such as 2026-09-18T14:00")
	cmd.Flags().IntVar(&which.last, "last", 0, "the sheet of the last shift (1), the one before (2), and so on back: "+
		"`n`")
	return cmd
}

// sheetFor is the handover sheet as it is now. Where it is for a person the journal notes
// that first, so that nothing comes between what it says and what is noted.
func (p *program) sheetFor(ctx context.Context, path string, by cellar.Initials, back bool) (string, error) {
	var unnoted error
	if by != "" {
		h, err := p.join(ctx, path, journal.Options{Station: "sheet"})
		if err == nil {
			var text string
			text, err = p.noted(ctx, h, by, back)
			if no := h.letGo(nil); err == nil {
				return text, no
			}
		}
		var no *cellar.Rejection
		if errors.As(err, &no) && no.Code != cellar.NoTime {
			return "", usage("--by {typed}: {wrong}.", by, no.Message())
		}
		unnoted = explain(err, path)
	}
	h, err := p.join(ctx, path, journal.Options{ReadOnly: true})
	if err != nil {
		return "", err
	}
	text := p.sheetText(h, p.clock(h)(), back)
	if err = h.letGo(nil); err == nil && unnoted != nil {
		fmt.Fprintln(p.stderr, clean(sentence("The sheet is NOT NOTED, so nobody is told of what changes on it: "+
			"{wrong}",
			unnoted)))
	}
	return text, err
}

// noted is the sheet, once the journal has it that it is printed for a person.
func (p *program) noted(ctx context.Context, h *held, by cellar.Initials, back bool) (string, error) {
	p.warn(h)
	c := &clerk{p: p, h: h, time: p.timeOf(h), desk: cellar.Desk{Journal: h, State: h.state, Station: "sheet",
		Again: askAgain}}
	cmd := &cellar.PrintSheet{Head: cellar.Head{By: by}}
	if h.rehearsal() {
		cmd.Written = c.time.now()
	}
	recs, err := c.write(ctx, cmd)
	if err != nil {
		return "", err
	}
	return p.sheetText(h, recs[0].Written, back), nil
}

// sheetText is the handover sheet of a journal at now. It carries the head of the
// journal, so that a sheet and a journal can be held against each other.
func (p *program) sheetText(h *held, now time.Time, back bool) string {
	seq, hash := h.head()
	s := handover.Sheet(h.state, now, sheet.Mark{Seq: uint64(seq), Hash: hash, Version: versionName(),
		Demo: h.rehearsal()})
	if back {
		return paper.Full(s)
	}
	return paper.Text(s)
}

// saveSheet writes the sheet under a name. A sheet replaces an older one, but
// never the journal.
func (p *program) saveSheet(out, path, text string) error {
	if mine, err := os.Stat(path); err == nil {
		if there, err := os.Stat(out); err == nil && os.SameFile(mine, there) {
			return usage("{path} is the journal: name another file for the sheet.", out)
		}
	}
	if err := os.WriteFile(out, []byte(text), 0o644); err != nil {
		return refused("Name another place with --out.", "The sheet could not be saved: {wrong}.", err)
	}
	_, err := fmt.Fprintf(p.stdout, "The sheet is in %s.\n", out)
	return err
}

// saveBeside writes files into the folder of the journal; those of a rehearsal that
// is thrown away at its end, into the folder the program was started in. A file
// appears whole or not at all.
func saveBeside(path string, fleeting bool) func(name, text string) (string, error) {
	folder := filepath.Dir(path)
	if fleeting {
		folder = "."
	}
	return func(name, text string) (string, error) {
		f, err := os.CreateTemp(folder, ".sheet-")
		if err != nil {
			return "", err
		}
		_, err = f.WriteString(text)
		if err = errors.Join(err, f.Sync(), f.Close()); err == nil {
			err = os.Rename(f.Name(), filepath.Join(folder, name))
		}
		if err != nil {
			_ = os.Remove(f.Name())
			return "", err
		}
		return filepath.Join(folder, name), nil
	}
}
