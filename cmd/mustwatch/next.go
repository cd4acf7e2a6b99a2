package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/store/journal"
	"cellar.example/mustwatch/tui/face"
)

// mostNext is how many lines of what is due next makes at most.
const mostNext = 1000

func (p *program) nextCommand() *cobra.Command {
	var asJSON bool
	count := 5
	cmd := &cobra.Command{
		Use:   "next",
		Short: "Print what is due in one line, for a prompt, a lamp or a second display",
		Long: fmt.Sprintf(`Prints what is due in one line: what is overdue first, marked, then what comes.
It only reads; where a board has the journal open, it asks that board.

It ends with %d when nothing is overdue and with %d when something is, so that a
script can switch a lamp; with %d, and nothing printed, while something has the
journal open that does not answer; the other numbers are those of every command.`, endDone, endOverdue, endLocked),
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if count < 1 || count > mostNext {
				return usage("--count takes 1 to {most}.", mostNext)
			}
			path, err := p.path()
			if err != nil {
				return err
			}
			h, err := p.join(cmd.Context(), path, journal.Options{ReadOnly: true})
			if err != nil {
				return err
			}
			due, over := nextDue(h.state, p.clock(h)(), count)
			if err := h.letGo(nil); err != nil {
				return err
			}
			if err := printNext(p.stdout, due, asJSON); err != nil {
				return err
			}
			if over {
				return &trouble{code: endOverdue}
			}
			return nil
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "as a JSON list, for machines")
	cmd.Flags().IntVar(&count, "count", count, "how many at most, `N`")
	return cmd
}

// dueOut is one thing that is due, for machines. Late and in are whole minutes;
// one of them is left out.
type dueOut struct {
	Subject        subject.Ref `json:"subject"`
	Verb           string      `json:"verb"`
	Due            time.Time   `json:"due"`
	Kind           string      `json:"kind"`
	Owner          string      `json:"owner,omitempty"`
	Overdue        bool        `json:"overdue"`
	Late           int         `json:"late_minutes,omitempty"`
	In             int         `json:"in_minutes,omitempty"`
	AcknowledgedBy string      `json:"acknowledged_by,omitempty"`
	Count          int         `json:"count,omitempty"`        // of the line that counts what is older
	Again          time.Time   `json:"snoozed_until,omitzero"` // it is snoozed until then

	text string
}

// emergencyKind is the kind of an emergency, which has no due.
const emergencyKind = "emergency"

// nextDue is what is due at now, and whether any of it, shown or not, is overdue.
// An alarm that was snoozed is overdue anyway.
// An emergency comes before all that is due, as on every face.
func nextDue(s *cellar.State, now time.Time, count int) (out []dueOut, over bool) {
	for _, e := range s.Emergencies(now) {
		over = true
		if len(out) < count {
			out = append(out, dueOut{Subject: s.RefOf(e), Verb: e.Line(), Due: e.At.In(s.Zone()), Kind: emergencyKind,
				Owner: string(e.By), Overdue: true,
				Late: int(now.Sub(e.At).Minutes()), text: "▲ " + e.Line()})
		}
	}
	for _, d := range s.Next(now) {
		if len(d.Folded) > 0 {
			x := olderOut(s, d, now)
			out, over = append(out, x), over || x.Overdue
			continue
		}
		x := dueOut{Subject: d.Subject, Verb: d.Verb, Due: d.At.In(s.Zone()), Kind: string(d.Kind),
			Owner: string(d.Owner), AcknowledgedBy: string(d.AcknowledgedBy)}
		x.Overdue = d.Kind != cellar.NotBefore && !now.Before(d.At)
		over = over || x.Overdue
		if beside(out) == count || d.Kind == cellar.NotBefore && d.Clock != "" && now.After(d.At) {
			continue // what may be done since long waits for nobody
		}
		word := face.DueWord(d, now, s.Zone())
		if x.Overdue {
			x.Late = int(now.Sub(d.At).Minutes())
		} else if n := d.At.Sub(now); n > 0 {
			x.In = int((n + time.Minute - 1) / time.Minute)
			if n < time.Hour {
				word = sentence("in {n} min", x.In) // minutes and seconds look like a time of day
			}
		}
		says := face.DueSays(s.NameOf(d.Subject), d, word)
		switch {
		case x.Overdue || d.Raised:
			says = "▲ " + says
		case d.Notice == "" && d.At.After(now):
			says = strings.Join([]string{word, s.NameOf(d.Subject), d.Verb}, " ")
		}
		x.text = strings.TrimSpace(says + " " + string(d.Owner))
		if !d.Again.IsZero() {
			x.Again = d.Again.In(s.Zone())
			x.text += ", again " + face.Clock(d.Again, now, s.Zone())
		}
		out = append(out, x)
	}
	return out, over
}

// olderKind is the kind of the line that counts what came due before this shift and the last.
const olderKind = "older"

// olderOut is that line; it stands beside as many others as were asked for.
func olderOut(s *cellar.State, d cellar.Due, now time.Time) dueOut {
	x := dueOut{Verb: d.Verb, Due: d.At.In(s.Zone()), Kind: olderKind, Overdue: d.Late(now), Count: len(d.Folded),
		text: face.Older(d, now, s.Zone())}
	if x.Overdue {
		x.text, x.Late = "▲ "+x.text, int(now.Sub(d.At).Minutes())
	}
	return x
}

// beside is how many lines there are beside the one that counts.
func beside(out []dueOut) int {
	n := len(out)
	for _, x := range out {
		if x.Kind == olderKind {
			n--
		}
	}
	return n
}

func printNext(w io.Writer, due []dueOut, asJSON bool) error {
	if asJSON {
		if due == nil {
			due = []dueOut{}
		}
		e := json.NewEncoder(w)
		e.SetIndent("", "  ")
		return e.Encode(due)
	}
	line := "nothing is due and no clock runs"
	if len(due) > 0 {
		parts := make([]string, len(due))
		for i, x := range due {
			parts[i] = x.text
		}
		line = strings.Join(parts, " · ")
	}
	_, err := fmt.Fprintln(w, clean(line))
	return err
}
