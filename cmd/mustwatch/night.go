package main

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	forms "cellar.example/mustwatch/tui/entry"
)

// night is a script: the lines of one night in the order in which they became
// known.
type night struct {
	title string
	file  string // its name, "" for the night that the program brings along
	zone  *time.Location
	house cellar.House // as its lines have named it, for how it writes numbers
	lines []nightLine
}

// nightLine is one line with the instant at which it became known.
type nightLine struct {
	line    line
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
	err := n.read(text, func(_ line, err error) bool { return false })
	if err != nil {
		return nil, fmt.Errorf("the script of the night: %w", err)
	}
	n.begin()
	return n, nil
}

// read adds the lines of a script. One that is none is told, and goes on where that
// returns true; the error is the first.
func (n *night) read(text []byte, goOn func(l line, err error) bool) error {
	var first error
	err := readLines(bytes.NewReader(text), func(l line) bool {
		err := n.add(l)
		if err == nil {
			return true
		}
		if first == nil {
			first = fmt.Errorf("%s: %w", l.named(err), err)
		}
		return goOn(l, err)
	})
	switch {
	case err != nil:
		return err
	case first != nil:
		return first
	case len(n.lines) == 0:
		return errors.New("it has no lines")
	}
	return nil
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
		return err
	}
	if _, begins := cmd.(*cellar.Rehearse); n.file != "" && len(n.lines) == 0 && !begins {
		return fmt.Errorf(`a night begins with a line {"do":"rehearse","at":…,"title":…}, not with %q: `+
			"it must never be taken for what has happened", cellar.Do(cmd))
	}
	head := cellar.HeadOf(cmd)
	known := head.Written
	if known.IsZero() {
		known = head.At
	}
	if known.IsZero() {
		return errors.New("give the time it happened (at), or when it was saved (saved)")
	}
	if k := len(n.lines); k > 0 && known.Before(n.lines[k-1].known) {
		return errors.New("it became known before the line above it; give a line that was saved late its saved time " +
			"(saved)")
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
	n.lines = append(n.lines, nightLine{line: l, known: known, command: cmd})
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

// leastNight is how long a night goes on after its first line, whenever its last one is.
const leastNight = 12 * time.Hour

// ends is the last moment that is the night's.
func (n *night) ends() time.Time {
	last := n.lines[len(n.lines)-1].known
	if least := n.lines[0].known.Add(leastNight); last.Before(least) {
		return least
	}
	return last
}

// moment reads a time of the night as the forms do, 0210 or 02:10, or an instant with
// its offset. A time of day is the first one after the night has begun.
func (n *night) moment(s string) (time.Time, error) {
	if t, err := time.Parse(time.RFC3339, s); err == nil {
		return t, nil
	}
	first, last := n.lines[0].known, n.ends()
	t, err := forms.When(s, first.Add(-time.Second), n.zone, true)
	if strings.TrimSpace(s) == "" {
		err = errors.New("it is empty")
	}
	if err != nil {
		return t, usage("--at takes a time of the night such as 0210 or 02:10, or 2026-09-25T02:10:00+02:00, not "+
			"{typed:%q}: {wrong}.", s, err)
	}
	if t.After(last) {
		return t, usage("The night goes from {first} to {last}; --at {typed} lies outside it.",
			first.In(n.zone).Format("15:04"), last.In(n.zone).Format("15:04"), s)
	}
	return t, nil
}
