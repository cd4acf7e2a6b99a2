package main

import (
	"context"
	"fmt"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/store/journal"
	"cellar.example/mustwatch/tui/paper"
)

// whichShift is the shift whose sheet is asked for: by a day or an instant, or counted from
// the last one back.
type whichShift struct {
	day  string
	last int
}

func (w whichShift) asked() bool { return w.day != "" || w.last != 0 }

// pastSheet is the sheet of a shift of earlier, as it was at its end by all that is known
// of it now.
func (p *program) pastSheet(ctx context.Context, path string, w whichShift, back bool) (string, error) {
	h, err := p.join(ctx, path, journal.Options{ReadOnly: true})
	if err != nil {
		return "", err
	}
	text, err := p.pastSheetOf(ctx, h, w, back)
	return text, h.letGo(err)
}

func (p *program) pastSheetOf(ctx context.Context, h *held, w whichShift, back bool) (string, error) {
	x, err := w.of(h.state)
	if err != nil {
		return "", err
	}
	now := p.clock(h)()
	if x.Until.IsZero() { // it is the one that stands
		return p.sheetText(h, now, back), nil
	}
	then, err := cellar.ShiftSeen(ctx, h, h.state, x)
	if err != nil {
		return "", explain(err, h.path)
	}
	seq, hash := h.head()
	s := handover.Past(then, x, now, sheet.Mark{Seq: uint64(seq), Hash: hash, Version: versionName(),
		Demo: h.rehearsal()})
	if back {
		return paper.Full(s), nil
	}
	return paper.Text(s), nil
}

// of finds the shift that is asked for.
func (w whichShift) of(s *cellar.State) (x cellar.PastShift, err error) {
	all := s.Shifts()
	if len(all) == 0 {
		return x, refused("Print the sheet without --shift and --last.", "No shift was ever started in this journal.")
	}
	if w.last != 0 {
		if w.last < 0 || w.last > len(all) {
			return x, usage("--last takes 1, the last shift, to {count}, the first; not {typed}.", len(all), w.last)
		}
		return all[len(all)-w.last], nil
	}
	if at, ok := instantOf(w.day, s.Zone()); ok {
		for _, x := range all {
			if x.Holds(at) && !(x.First && at.Before(x.Started)) {
				return x, nil
			}
		}
		return x, usage("--shift {typed}: the first shift began at {time}.", w.day, stamp(s, all[0].Started))
	}
	day, err := time.ParseInLocation(time.DateOnly, w.day, s.Zone())
	if err != nil {
		return x, usage("--shift takes a day or a time of a day, such as 2026-09-18 or 2026-09-18T14:00, not "+
			"{typed:%q}.", w.day)
	}
	of := shiftsOf(all, day)
	switch len(of) {
	case 0:
		return x, usage("No shift ran on {day}: the first began at {first}, the last at {last}.", w.day,
			stamp(s, all[0].Started), stamp(s, all[len(all)-1].Started))
	case 1:
		return of[0], nil
	}
	lines := make([]string, len(of))
	for i, x := range of {
		lines[i] = fmt.Sprintf("  --shift %s  %s", x.Started.In(s.Zone()).Format(toMinute), shiftLine(s, x))
	}
	return x, usage("{count} shifts began on {day}; choose one:\n{shifts}", len(of), w.day, strings.Join(lines, "\n"))
}

const toMinute = "2006-01-02T15:04"

func stamp(s *cellar.State, t time.Time) string { return t.In(s.Zone()).Format("2006-01-02 15:04") }

// instantOf reads a day with a time of it, to the minute: who types when a shift began means
// that one.
func instantOf(text string, zone *time.Location) (time.Time, bool) {
	if t, err := time.Parse(time.RFC3339, text); err == nil {
		return t, true
	}
	for _, form := range []string{toMinute, "2006-01-02 15:04"} {
		if t, err := time.ParseInLocation(form, text, zone); err == nil {
			return t.Add(time.Minute - time.Second), true
		}
	}
	return time.Time{}, false
}

// shiftsOf are the shifts that began on a day, or where none did, the one that ran on.
func shiftsOf(all []cellar.PastShift, day time.Time) (of []cellar.PastShift) {
	next := day.AddDate(0, 0, 1)
	for _, x := range all {
		if !x.Started.Before(day) && x.Started.Before(next) {
			of = append(of, x)
		}
	}
	for _, x := range all {
		if len(of) == 0 && !x.Started.After(day) && x.Holds(day) {
			return []cellar.PastShift{x}
		}
	}
	return of
}

// shiftLine is a shift in a line: who led it, from when to when.
func shiftLine(s *cellar.State, x cellar.PastShift) string {
	end := "still open"
	if !x.Over().IsZero() {
		end = x.Over().In(s.Zone()).Format("to Mon 15:04")
	}
	if x.Forgotten() {
		end += ", no end saved"
	}
	return fmt.Sprintf("%s  %s %s", x.Lead, x.Started.In(s.Zone()).Format("Mon 2 Jan 15:04"), end)
}
