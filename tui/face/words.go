package face

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
)

// Clock is an instant as the cellar says it in a column: with the weekday when it is not today or
// this night, with the date when it is about a week off, and with the year when it is of another one.
func Clock(t, now time.Time, zone *time.Location) string { return cellar.ColumnClock(t, now, zone) }

// WallTime is an instant's time of day, with the offset in the hour that comes
// twice: a text that can be typed back.
func WallTime(t time.Time, zone *time.Location) string { return Clock(t, t, zone) }

// Left says how long it is until t, or how long it is over: "in 5 min",
// "12 min late", "in 1 h 20".
func Left(t, now time.Time) string {
	d := t.Sub(now)
	switch {
	case d <= 0 && d > -time.Minute:
		return "now"
	case d < 0:
		return Late(-d)
	}
	return "in " + Length(roundUp(d))
}

// Late says by how much something is overdue. A plus sign would be read as time that is left.
// Beyond two days nobody counts hours.
func Late(over time.Duration) string {
	if over >= 2*24*time.Hour {
		return strconv.Itoa(int(over/(24*time.Hour))) + " d late"
	}
	return Length(over) + " late"
}

// roundUp counts a begun minute as one, so that nothing says "in 0 min" while
// there is still time.
func roundUp(d time.Duration) time.Duration {
	return (d + time.Minute - time.Second).Truncate(time.Minute)
}

// Length is a duration in the words of a clock: "45 min", "1 h 20", "3 d".
func Length(d time.Duration) string {
	m := int(d / time.Minute)
	switch {
	case m < 100:
		return fmt.Sprintf("%d min", m)
	case m < 100*60:
		return fmt.Sprintf("%d h %02d", m/60, m%60)
	}
	return fmt.Sprintf("%d d", m/60/24)
}

// Seconds is a short countdown where there is room for it: "3 min 12 s". With a
// colon it would be taken for a moment.
func Seconds(d time.Duration) string {
	s := int(d / time.Second)
	switch {
	case s < 60:
		return fmt.Sprintf("%d s", s)
	case s%60 == 0:
		return fmt.Sprintf("%d min", s/60)
	}
	return fmt.Sprintf("%d min %d s", s/60, s%60)
}

// short is a countdown in a row: minutes, and seconds only in the last of them.
func short(d, minutes time.Duration) string {
	if d < time.Minute {
		return Seconds(d)
	}
	return Length(minutes)
}

// oldReading is when the age of a reading is worth saying.
const oldReading = 20 * time.Minute

// Age says how long ago something was read, "" while it is fresh.
func Age(at, now time.Time) string {
	d := now.Sub(at)
	if at.IsZero() || d < oldReading {
		return ""
	}
	switch {
	case d < time.Hour:
		return fmt.Sprintf("%dm ago", int(d/time.Minute))
	case d < 48*time.Hour:
		return fmt.Sprintf("%dh ago", int(d/time.Hour))
	}
	return fmt.Sprintf("%dd ago", int(d/(24*time.Hour)))
}

// Gauge is where a volume comes from, how old that is and by how much it may be
// out: "ledger from dip, 4h ago, ±1.0 hL".
func Gauge(c *cellar.Content, now time.Time, sys quantity.System) string {
	from, off := c.GaugeSays(sys)
	if from == "" {
		return ""
	}
	if age := Age(c.Gauge.At, now); age != "" {
		from += ", " + age
	}
	return from + ", " + off
}

// Volume is what a content holds; with ~ where that was only estimated.
func Volume(c *cellar.Content, sys quantity.System) string {
	if c.Volume > 0 && c.Gauge.How == cellar.Estimate {
		return "~" + c.Volume.Text(sys)
	}
	return c.Volume.Text(sys)
}

// Temp is the temperature of a content, "?" when it was never read.
func Temp(c *cellar.Content, sys quantity.System) string {
	if c.Last.Temp == nil {
		return "? °C"
	}
	return c.TempText(sys)
}

// Fill is a share of the brim as the board prints it.
func Fill(v *cellar.Vessel) string {
	return fmt.Sprintf("%d %%", int(v.Fill()*100+0.5))
}

// Standing puts the one thing of a row into words: a verb with its time, or a
// reason.
func Standing(st cellar.Standing, now time.Time, zone *time.Location) string {
	if st.At.IsZero() {
		return st.Text
	}
	if st.Kind == cellar.NotBefore {
		return st.Text + " from " + Clock(st.At, now, zone)
	}
	if !st.Until.IsZero() {
		if TurnOf(st.At, st.Until, now) == Void {
			return ReadIn(st.At, st.Until, now)
		}
		return st.Text + " " + ReadIn(st.At, st.Until, now)
	}
	over := now.Sub(st.At)
	switch {
	case over >= 0:
		return st.Text + " " + Left(st.At, now)
	case -over <= 30*time.Minute:
		return st.Text + " " + Left(st.At, now)
	}
	by := " "
	if st.Kind == cellar.NotAfter {
		by = " by "
	}
	return st.Text + by + Clock(st.At, now, zone)
}

// Turn is how far the short clock of a test that is to be read has run.
type Turn int

// The turns: it is too early to read, to be read now, in the last minute, or void.
const (
	Early Turn = iota
	ReadNow
	LastMinute
	Void
)

// TurnOf is the turn at now of a test that is to be read at one instant and is void after another.
func TurnOf(read, void, now time.Time) Turn {
	switch {
	case now.Before(read):
		return Early
	case now.Before(void.Add(-lastMinute)):
		return ReadNow
	case !now.After(void):
		return LastMinute
	}
	return Void
}

// ReadIn puts the turn into words: "in 3 min 12 s", "now, void in 4 min".
func ReadIn(read, void, now time.Time) string {
	if TurnOf(read, void, now) == Early {
		return "in " + short(read.Sub(now), roundUp(read.Sub(now)))
	}
	if left := VoidIn(read, void, now); TurnOf(read, void, now) != Void {
		return "now, " + left
	}
	return VoidIn(read, void, now)
}

// VoidIn says of a test that is to be read now how long it still can be.
func VoidIn(read, void, now time.Time) string {
	switch left := void.Add(-lastMinute).Sub(now); TurnOf(read, void, now) {
	case Void:
		return "void, test again"
	case LastMinute:
		return "last minute"
	default:
		return "void in " + short(left, left)
	}
}

// lastMinute is the minute of the void time, which still counts.
const lastMinute = time.Minute - time.Second

// DueWord is the time of a line in the list of what is due; of what is only worth a look, what is amiss.
func DueWord(d cellar.Due, now time.Time, zone *time.Location) string {
	over := now.Sub(d.At)
	switch {
	case d.Notice != "":
		return d.Notice
	case d.Clock != "" && d.Kind == cellar.NotBefore && over >= 0, over >= 0 && over < time.Minute:
		return "now"
	case over >= 0:
		return Late(over)
	case d.Kind == cellar.NotAfter:
		return "by " + Clock(d.At, now, zone)
	case -over <= 60*time.Minute:
		return Left(d.At, now)
	}
	return Clock(d.At, now, zone)
}

// Older is the line that counts what came due before this shift and the last.
func Older(d cellar.Due, now time.Time, zone *time.Location) string {
	return text.Of("{count} older, since {day}", len(d.Folded), Day(d.At, now, zone)).In(text.Plain{})
}

// Day is the day of an instant, with its year where that is another one.
func Day(t, now time.Time, zone *time.Location) string {
	l := t.In(zone)
	if l.Year() != now.In(zone).Year() {
		return l.Format("2 Jan 2006")
	}
	return l.Format("Mon 2 Jan")
}

// DueSays is a line of what is due in one go: "102 test 10 min late", "401 too warm: decide".
func DueSays(subject string, d cellar.Due, word string) string {
	switch {
	case strings.HasSuffix(d.Notice, "?"):
		return subject + " " + d.Notice + " " + d.Verb
	case d.Notice != "":
		return subject + " " + d.Notice + ": " + d.Verb
	}
	return subject + " " + d.Verb + " " + word
}

// Written is what stands in a log. What was taken back since is marked, and what had
// followed from it elsewhere.
func Written(e cellar.Event) string {
	if e.TakenBack {
		return "taken back: " + strings.TrimSpace(e.Text)
	}
	return strings.TrimSpace(e.Text)
}
