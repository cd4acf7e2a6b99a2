package main

import (
	"bytes"
	"errors"
	"fmt"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/daytime"
)

// night is a script: the lines of one night in the order in which they became
// known.
type night struct {
	title string
	zone  *time.Location
	house cellar.House // as its lines have named it, for how it writes numbers
	lines []nightLine
}

// nightLine is one line with the instant at which it became known.
type nightLine struct {
	no      int
	known   time.Time
	command cellar.Command
}

// entryKey is what a record keeps of the line it came from.
type entryKey struct {
	entry string
	at    int64
	by    cellar.Initials
}

// readNight reads a script. No line may have become known before an earlier one.
func readNight(text []byte) (*night, error) {
	n := &night{zone: time.UTC}
	var bad error
	err := readLines(bytes.NewReader(text), func(l line) bool {
		bad = n.add(l)
		return bad == nil
	})
	if err == nil {
		err = bad
	}
	if err == nil && len(n.lines) == 0 {
		err = errors.New("it has no lines")
	}
	if err != nil {
		return nil, fmt.Errorf("the script of the night: %w", err)
	}
	n.begin()
	return n, nil
}

// begin sees to it that the script makes its journal a rehearsal before anything
// else is written.
func (n *night) begin() {
	if c, ok := n.lines[0].command.(*cellar.Rehearse); ok {
		n.title = c.Title
		return
	}
	n.title = "a night to look around in"
	first := n.lines[0].known
	c := &cellar.Rehearse{Head: cellar.Head{At: first, Entry: "line 0"}, Title: n.title}
	n.lines = append([]nightLine{{known: first, command: c}}, n.lines...)
}

func (n *night) add(l line) error {
	cmd, err := l.command(n.house)
	if err != nil {
		return fmt.Errorf("line %d: %w", l.no, err)
	}
	head := cellar.HeadOf(cmd)
	known := head.Written
	if known.IsZero() {
		known = head.At
	}
	if known.IsZero() {
		return fmt.Errorf("line %d says neither when it was nor when it was written", l.no)
	}
	if k := len(n.lines); k > 0 && known.Before(n.lines[k-1].known) {
		return fmt.Errorf("line %d became known before the one above it", l.no)
	}
	if c, ok := cmd.(*cellar.SetHouse); ok && c.Zone != "" {
		n.house = c.House
		if zone, err := time.LoadLocation(c.Zone); err == nil {
			n.zone = zone
		}
	}
	// What a line leaves out is filled in, so that its records can be told from
	// those of a person, also when it is written later than it became known.
	if head.At.IsZero() {
		head.At = known
	}
	if head.Entry == "" {
		head.Entry = fmt.Sprintf("line %d", l.no)
	}
	n.lines = append(n.lines, nightLine{no: l.no, known: known, command: cmd})
	return nil
}

// after returns the lines that none of the records came from. Lines are written
// in their order, so they are those behind the last one that has a record; what
// was refused in between is not tried again.
func (n *night) after(records []entryKey) []nightLine {
	next := 0
	for _, r := range records {
		for i := next; i < len(n.lines); i++ {
			if keyOf(n.lines[i].command) == r {
				next = i + 1
				break
			}
		}
	}
	return n.lines[next:]
}

func keyOf(c cellar.Command) entryKey {
	h := cellar.HeadOf(c)
	return entryKey{h.Entry, h.At.Unix(), h.By}
}

// due splits lines into those known at t and those to come.
func due(lines []nightLine, t time.Time) (now, later []nightLine) {
	i := 0
	for i < len(lines) && !lines[i].known.After(t) {
		i++
	}
	return lines[:i], lines[i:]
}

// script hands out lines as they fall due. It is asked from one goroutine.
func script(lines []nightLine) func(time.Time) []cellar.Command {
	return func(now time.Time) []cellar.Command {
		var ready []nightLine
		ready, lines = due(lines, now)
		out := make([]cellar.Command, len(ready))
		for i, l := range ready {
			out[i] = l.command
		}
		return out
	}
}

// The night goes from evening to morning: a time of day before nightfall means
// the morning after.
const (
	nightFalls = 18
	nightEnds  = 6
)

// moment reads a time of the night as the forms do, 0210 or 02:10, or an instant with
// its offset.
func (n *night) moment(s string) (time.Time, error) {
	if t, err := time.Parse(time.RFC3339, s); err == nil {
		return t, nil
	}
	h, m, err := daytime.Parse(s)
	if err != nil {
		return time.Time{}, usage("--at takes a time of the night such as 0210 or 02:10, or 2026-09-25T02:10:00+02:00, not %q: %v.", s, err)
	}
	if h < nightFalls && h*60+m > nightEnds*60 {
		return time.Time{}, usage("The night goes from %02d:00 to %02d:00; --at %s lies in the day.", nightFalls, nightEnds, s)
	}
	year, month, day := n.lines[0].known.In(n.zone).Date()
	if h < nightFalls {
		day++
	}
	return time.Date(year, month, day, h, m, 0, 0, n.zone), nil
}
