package entry

import (
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clocks"
	"cellar.example/mustwatch/tui/widget"
)

// What may be the right time.
const (
	byHouse = "house"
	byOther = "other"
	byHand  = "typed"
)

// openTime asks what time it is, when the machine's clock is in question.
func openTime(k *desk) (*Entry, string) {
	g := k.look()
	if !g.Time.Kept {
		return nil, "This board keeps its own clock: there is nothing to set."
	}
	q := g.Time.Question
	say := func(t time.Time) string { return t.In(g.State.Zone()).Format("Mon 15:04 MST") }
	board, other := widget.Choice{Key: 'e', Value: byHouse}, widget.Choice{Key: 'm', Value: byOther}
	which := widget.Field{Name: "which", Label: "Right time"}
	switch q.Doubt {
	case clocks.Sure:
		board.Label = say(q.House) + ", as shown"
		which.Choices = append(which.Choices, board)
	case clocks.Parted:
		board.Label, other.Label = say(q.House)+", by elapsed time", say(q.Other)+", the machine's clock"
		which.Choices = append(which.Choices, board, other)
	case clocks.Restart:
		board.Label, other.Label = say(q.House)+", the machine's clock", say(q.Other)+", as known before"
		which.Choices = append(which.Choices, board, other)
	case clocks.Lost:
		if !q.Other.Before(q.House) {
			other.Label = q.Other.In(g.State.Zone()).Format("Mon 2 Jan 15:04") + ", the machine's clock"
			which.Choices = append(which.Choices, other)
		}
	}
	fields := []widget.Field{
		{Name: "now", Label: "Time now", Kind: widget.Figure, Width: 18, Limit: 30,
			Hint: "0310, Fri 03:10, 2026-09-25 03:10", Validate: k.reads("now", func(s *slip) { s.rightTime() })},
		words("reason", "Reason", "if it is before the last entry")}
	if len(which.Choices) > 0 {
		which.Choices = append(which.Choices, widget.Choice{Key: 't', Label: "another time", Value: byHand})
		fields = []widget.Field{which, only(fields[0], on("which", byHand)), only(fields[1], on("which", byHand))}
	}
	e := k.entry("What time is it?", fields...)
	e.Command = k.timeCommand
	e.Form.Live = k.timeLive
	return e, ""
}

func (k *desk) timeCommand(values map[string]string) (cellar.Command, error) {
	s := k.slip(values)
	q := s.g.Time.Question
	c := &cellar.ConfirmTime{Head: s.head(), Reason: s.text("reason"), Tie: s.g.Time.Tie, Lost: q.Doubt == clocks.Lost}
	switch values["which"] {
	case byHouse:
		c.Now = q.House
	case byOther:
		c.Now = q.Other
	default:
		c.Now = s.rightTime()
	}
	return s.done(c)
}

// rightTime reads the time a person says it is.
func (s *slip) rightTime() time.Time {
	return read(s, "now", s.text("now"), func(t string) (time.Time, error) {
		return around(t, s.g.Now, s.g.State.Zone(), s.g.Time.Question.Doubt == clocks.Lost)
	})
}

// around reads a time that lies on either side of now: with its date, or else the
// nearest instant at which the clock on the wall shows it. later looks only ahead,
// for a time that cannot lie before what is written already.
func around(text string, now time.Time, zone *time.Location, later bool) (time.Time, error) {
	text = strings.ToLower(strings.TrimSpace(text))
	if day, rest, ok := strings.Cut(text, " "); ok {
		if date, err := time.ParseInLocation("2006-01-02", day, zone); err == nil {
			return onDate(rest, date.Add(12*time.Hour), zone)
		}
	}
	ahead, errAhead := When(text, now.Add(-slack), zone, true)
	back, errBack := When(text, now, zone, false)
	switch {
	case later && errBack == nil && errAhead != nil:
		return back, refuse("", "{time} is before the last entry: type its date too if the last entry was wrong",
			back.In(zone).Format("15:04"))
	case later:
		return ahead, errAhead
	case errBack != nil:
		return ahead, errAhead
	case errAhead != nil, now.Sub(back) <= ahead.Sub(now):
		return back, nil
	}
	return ahead, nil
}

// onDate is a time of day on a date, asked about where it comes twice.
func onDate(text string, noon time.Time, zone *time.Location) (time.Time, error) {
	w := wish{now: noon, zone: zone, day: -1}
	if err := w.read(text); err != nil {
		return time.Time{}, err
	}
	all := wall(noon, w.hour, w.minute, zone)
	if len(all) == 0 {
		return time.Time{}, refuse("", noSuchHour, w.shown(), noon.Format("Mon 2 Jan"))
	}
	if w.which == "" && len(all) == 1 {
		return all[0], nil
	}
	return w.one(all, all)
}

// timeLive says what will follow.
func (k *desk) timeLive(values map[string]string) []string {
	c, err := k.timeCommand(values)
	x, ok := c.(*cellar.ConfirmTime)
	if err != nil || !ok || x.Now.IsZero() {
		return nil
	}
	g := k.look()
	by := cellar.Instant(x.Now).Sub(cellar.Instant(x.Tie.House))
	lines := []string{"It is " + x.Now.In(g.State.Zone()).Format("Mon 2 Jan 2006 15:04 MST") + "."}
	switch {
	case x.Lost:
		return append(lines, "Time has passed since the last entry: some clocks can be due.")
	case by.Abs() < time.Minute:
		return append(lines, "No clock moves.")
	}
	return append(lines, say(g, "The board's time moves {length}. Clocks that count elapsed time move with it and "+
		"ring when they would have;", cellar.Signed(by)),
		"times of day that somebody typed stay.")
}
