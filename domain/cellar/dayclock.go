package cellar

import (
	"time"

	"cellar.example/mustwatch/domain/text"
)

// One function says an instant on every face, on the sheet and in every refusal. It is its time of day
// within this shift, has its day beside it otherwise, and its year where that is another one.

// aWeek is from when on a weekday no longer says which day is meant.
const aWeek = 6 * 24 * time.Hour

// Style of an instant: how much of its day is said.
type dayStyle int

const (
	inSentence dayStyle = iota // "Tue 22 Sep 14:20"
	inColumn                   // "Tue 14:20", where there is no room for more
	withDay                    // at least "Tue 14:20", this shift or not
)

// Clock is an instant as a sentence says it at now: "14:20" within this shift, "Tue 22 Sep 14:20" up to
// six days off, then "22 Sep 14:20", and "22 Sep 2025 14:20" in another year. In the hour that comes
// twice the zone's letters stand behind it.
func Clock(t, now time.Time, zone *time.Location) string { return clockOf(t, now, zone, inSentence) }

// ColumnClock is the same where there is room for the weekday alone.
func ColumnClock(t, now time.Time, zone *time.Location) string {
	return clockOf(t, now, zone, inColumn)
}

func clockOf(t, now time.Time, zone *time.Location, style dayStyle) string {
	l := t.In(zone)
	form := "15:04"
	if twice(l) {
		form += " MST"
	}
	return l.Format(dayForm(l, now.In(zone), style) + form)
}

// dayForm is what stands before the time of day.
func dayForm(l, n time.Time, style dayStyle) string {
	d := l.Sub(n).Abs()
	sameDay := l.YearDay() == n.YearDay() && l.Year() == n.Year()
	near := d <= 18*time.Hour || d <= 24*time.Hour && sameDay
	switch {
	case near && style != withDay:
		return ""
	case near || d <= aWeek && style == inColumn:
		return "Mon "
	case l.Year() != n.Year():
		return "2 Jan 2006 "
	case d <= aWeek:
		return "Mon 2 Jan "
	}
	return "2 Jan "
}

// Voice says what is said at an instant: in the units, the zone and the names of a house.
type Voice struct {
	s   *State
	now time.Time
}

// At is the voice of the house at an instant.
func (s *State) At(now time.Time) Voice { return Voice{s, now} }

// Word implements text.Voice.
func (v Voice) Word(kind, raw string) string {
	if t, err := time.Parse(time.RFC3339, raw); kind == text.Time && err == nil {
		return v.Clock(t)
	}
	return v.s.Word(kind, raw)
}

// Clock is an instant as it is said then.
func (v Voice) Clock(t time.Time) string { return Clock(t, v.now, v.s.Zone()) }

// Words makes a sentence of what was said, as it is said then.
func (v Voice) Words(x text.Say) string { return x.In(v) }

// Clock is an instant as it was said at the last entry. Where now is known, ask At.
func (s *State) Clock(t time.Time) string { return s.At(s.wordsAt(t)).Clock(t) }

// dayClock is the same with its day, of this shift or not.
func (s *State) dayClock(t time.Time) string { return clockOf(t, s.wordsAt(t), s.Zone(), withDay) }

// wordsAt is when something is said where nobody tells: at the last entry.
func (s *State) wordsAt(t time.Time) time.Time {
	if s.LastAt.IsZero() {
		return t
	}
	return s.LastAt
}

// says is an instant as a refusal says it.
func (d *decision) says(t time.Time) string { return d.s.At(d.now).Clock(t) }

// saysDay is the same with its day, of this shift or not.
func (d *decision) saysDay(t time.Time) string { return clockOf(t, d.now, d.s.Zone(), withDay) }
