package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/store/journal"
	"cellar.example/mustwatch/tui/paper"
)

func (p *program) sheetCommand() *cobra.Command {
	var out string
	var back bool
	cmd := &cobra.Command{
		Use:   "sheet",
		Short: "Print the handover sheet as plain text",
		Args:  noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			path, err := p.path()
			if err != nil {
				return err
			}
			h, err := p.join(cmd.Context(), path, journal.Options{ReadOnly: true})
			if err != nil {
				return err
			}
			text := p.sheetText(h, p.clock(h)(), back)
			if err := h.letGo(nil); err != nil {
				return err
			}
			if out == "" || out == "-" {
				_, err = io.WriteString(p.stdout, text)
				return err
			}
			return p.saveSheet(out, path, text)
		},
	}
	cmd.Flags().StringVar(&out, "out", "", "write the sheet into this `file` instead")
	cmd.Flags().BoolVar(&back, "back", false, "with the back page: every tank, dose, check and event")
	return cmd
}

// sheetText is the handover sheet of a journal at now. It carries the head of the
// journal, so that a sheet and a journal can be held against each other.
func (p *program) sheetText(h *held, now time.Time, back bool) string {
	seq, hash := h.head()
	s := handover.Sheet(h.state, now, sheet.Mark{Seq: uint64(seq), Hash: hash, Version: versionName(), Demo: h.rehearsal()})
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
			return usage("%s is the journal; the sheet wants a file of its own.", out)
		}
	}
	if err := os.WriteFile(out, []byte(text), 0o644); err != nil {
		return refused("Name another place with --out.", "The sheet could not be written: %v.", err)
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
