package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/document"
	"cellar.example/mustwatch/domain/lookalike"
	"cellar.example/mustwatch/domain/show"
	"cellar.example/mustwatch/store/journal"
	forms "cellar.example/mustwatch/tui/entry"
)

func (p *program) showCommand() *cobra.Command {
	var asJSON bool
	var at string
	cmd := &cobra.Command{
		Use:   "show [NAME …]",
		Short: "Print what every vessel and press holds, as a table or as JSON",
		Long: fmt.Sprintf(`Prints what vessels and presses hold, their clocks, and what became of every
load: of all, or of those named. It only reads; where a board has the
journal open, it asks that board.

With --at it shows the cellar as it was at that instant, by all that is known of
it now: what was so by then counts, whenever it was saved, with what was
corrected and taken back since; what came later does not. The setup of the house
counts as it is now. The time is typed as in a form (2210, 22:10, Fri 07:00,
"2h ago"), or with its offset (2026-09-25T02:10:00+02:00).

With --json it is one document, format %d. Volumes are millilitres, instants
are RFC 3339 in UTC, lists are in a fixed order, and fields that are not known are
missing. The balance is always that of all vessels.

`, document.Format) + showFields,
		RunE: func(cmd *cobra.Command, args []string) error {
			return p.showState(cmd.Context(), args, at, cmd.Flags().Changed("at"), asJSON)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "as a JSON document, for machines")
	cmd.Flags().StringVar(&at, "at", "", "as it was at a `time`")
	return cmd
}

func (p *program) showState(ctx context.Context, names []string, at string, asked, asJSON bool) error {
	path, err := p.path()
	if err != nil {
		return err
	}
	h, err := p.join(ctx, path, journal.Options{ReadOnly: true})
	if err != nil {
		return err
	}
	s, now := h.state, p.clock(h)()
	if asked {
		if now, err = past(at, now, s); err == nil {
			s, err = h.asOf(ctx, now)
		}
	}
	if err == nil {
		err = known(s, names)
	}
	if err := h.letGo(err); err != nil {
		return err
	}
	d := show.Cellar(s, now)
	if len(names) > 0 {
		d.Only(names)
	}
	if asJSON {
		e := json.NewEncoder(p.stdout)
		e.SetIndent("", "  ")
		e.SetEscapeHTML(false)
		return e.Encode(d)
	}
	return printState(p.stdout, s, &d)
}

// past reads a time that has been, as it is typed in a form or with its offset.
func past(text string, now time.Time, s *cellar.State) (time.Time, error) {
	t, err := time.Parse(time.RFC3339, text)
	switch {
	case err == nil && t.After(now):
		return t, usage("--at {typed} is still to come; it is {now}.", text, s.Clock(now))
	case err == nil:
		return t, nil
	case strings.TrimSpace(text) == "":
		return t, usage("--at takes a time, such as 2210, 22:10 or 2026-09-25T02:10:00+02:00.")
	}
	t, err = forms.When(text, now, s.Zone(), false)
	var no *cellar.Rejection
	if errors.As(err, &no) {
		return t, usage("--at {typed:%q}: {wrong}.", text, no.Message())
	}
	return t, err
}

// asOf is the cellar as it was at an instant, by all that is known now.
func (h *held) asOf(ctx context.Context, at time.Time) (*cellar.State, error) {
	s, ok, err := cellar.Hindsight(ctx, h, h.state, at)
	switch {
	case err != nil:
		return nil, explain(err, h.path)
	case !ok:
		return nil, refused("Give a later --at.", "The journal begins after {time}.",
			at.In(h.state.Zone()).Format("Mon 2 Jan 2006 15:04"))
	}
	return s, nil
}

// known refuses a name that no vessel and no press has, with those that look like it.
func known(s *cellar.State, names []string) error {
	var all []string
	for _, v := range s.Vessels() {
		all = append(all, string(v.Number))
	}
	for _, x := range s.Presses() {
		all = append(all, string(x.Number))
	}
	for _, name := range names {
		if slices.Contains(all, name) {
			continue
		}
		do := "There are " + strings.Join(all, " ") + "."
		if near := like(name, all); len(near) > 0 {
			do = "Like it: " + strings.Join(near, " ") + "."
		}
		return &trouble{code: endUsage, says: sentence("There is no tank or press {typed:%q}.", name), do: do}
	}
	return nil
}

// like are the names that one may have been meant for: itself in other letters, else
// those that it is taken for.
func like(name string, all []string) (near []string) {
	for _, other := range all {
		if strings.EqualFold(name, other) {
			return []string{other}
		}
		if lookalike.How(name, other) != lookalike.None || oneApart(name, other) {
			near = append(near, other)
		}
	}
	return near
}

// oneApart reports whether two names differ by one character: another, one more, or two
// that have changed places.
func oneApart(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	switch len(b) - len(a) {
	case 0:
		return i < len(a) && (a[i+1:] == b[i+1:] || i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] &&
			a[i+2:] == b[i+2:])
	case 1:
		return a[i:] == b[i+1:]
	}
	return false
}
