package entry

import (
	"errors"
	"fmt"
	"sort"
	"strconv"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/daytime"
	"cellar.example/mustwatch/domain/quantity"
)

// farOff is the distance from which a time without a weekday is asked about: a
// time that was passed a moment ago would otherwise silently mean tomorrow.
const farOff = 22 * time.Hour

// farBack is the same for what has been: a time of day that lies a little ahead
// of the clock would otherwise silently mean yesterday.
const farBack = 14 * time.Hour

// slack is how far a time that has been may lie ahead: two clocks in a cellar
// differ by that much.
const slack = 2 * time.Minute

// What is refused in more than one place.
const (
	whenWanted = "type a time such as 2230 or 22:30, Fri 07:00, +45 or 1h30"
	noSuchHour = "there is no {time} on {day}: the clocks go forward in that hour, type another time"
)

// When reads an instant as it is typed in a cellar: "2230", "22:30", "22.30",
// "0:30", "10:30 pm", with a weekday or a date before it where it is not the nearest one, or a length
// of time from now, "+45" (minutes), "45min", "1h30". Nothing is now. future
// says which way to look: for what is still to come, or for what has been.
//
// In the hour that comes twice a year it asks for the first or the second unless
// only one of them lies on the right side of now; "first", "second", or the
// zone's letters after the time say which. The error is a *cellar.Rejection
// without a field.
func When(text string, now time.Time, zone *time.Location, future bool) (time.Time, error) {
	text = strings.ToLower(strings.TrimSpace(text))
	if text == "" {
		return now, nil
	}
	if len(text) > 40 {
		return time.Time{}, refuse("", whenWanted)
	}
	text, err := daytime.Plain(text)
	if err != nil {
		return time.Time{}, refuse("", "{wrong}", err)
	}
	if d, ok, err := relative(text, future); ok {
		return now.Add(d), err
	}
	w := wish{now: now, zone: zone, future: future, day: -1}
	if err := w.read(w.date(text)); err != nil {
		return time.Time{}, err
	}
	t, err := w.find()
	if err == nil && !future && w.day == int(now.In(zone).Weekday()) && now.Sub(t) > 6*24*time.Hour {
		return time.Time{}, refuse("", "{time} is in the future: type when it was", text)
	}
	return t, err
}

// relative reads a length of time from now; ok is false when it is none.
func relative(text string, future bool) (d time.Duration, ok bool, err error) {
	body, ago := strings.CutSuffix(text, "ago")
	body, in := strings.CutPrefix(strings.TrimSpace(body), "in ")
	plus, minus := strings.HasPrefix(body, "+"), strings.HasPrefix(body, "-") || strings.HasPrefix(body, "\u2212")
	body = strings.TrimSpace(strings.TrimLeft(body, "+-\u2212"))
	if !ago && !in && !plus && !minus && !length(body) {
		return 0, false, nil
	}
	if !ago && !in && !plus && !minus && clockLike(body) {
		return 0, true, refuse("", "{typed} can mean two things: type {time} for the time, or +{length} for the length",
			text, strings.Replace(body, "h", ":", 1), body)
	}
	span, err := quantity.Habit{}.Span(body)
	if err != nil {
		return 0, true, refuse("", whenWanted)
	}
	back := ago || minus || !future && !in && !plus
	switch {
	case back && future:
		return 0, true, refuse("", "that is in the past: type a time to come, such as +{length}", body)
	case !back && !future:
		return 0, true, refuse("", "that is in the future: type when it was, such as {length} ago", body)
	case back:
		return -span.Duration(), true, nil
	}
	return span.Duration(), true, nil
}

// length tells a length by its unit: "45min", "1h30", "2 h". "2230 second" is a
// time, for nobody counts seconds here.
func length(s string) bool {
	if strings.HasSuffix(s, "second") || strings.Trim(s, "0123456789:., ") == "" {
		return false
	}
	_, err := quantity.Habit{}.Span(s)
	return err == nil
}

// clockLike catches "22h30", which is a time to one half of the crew and a
// length to the other.
func clockLike(s string) bool {
	h, m, ok := strings.Cut(s, "h")
	n, err := strconv.Atoi(h)
	return ok && err == nil && n > 12 && n < 24 && len(m) == 2
}

// wish is a time of day that was asked for.
type wish struct {
	now    time.Time
	zone   *time.Location
	future bool

	hour, minute int
	day          int // weekday, -1 for any
	dayOf        int // of month, where a date was typed
	month        time.Month
	which        string // "first", "second" or the letters of a zone
}

var weekdays = [...]string{"sunday", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday"}

func weekday(word string) int {
	for i, name := range weekdays {
		if len(word) >= 2 && strings.HasPrefix(name, word) {
			return i
		}
	}
	return -1
}

// read takes the words apart: a weekday, a time, and which of two.
func (w *wish) read(text string) error {
	fields := strings.Fields(text)
	if len(fields) > 1 {
		if d := weekday(strings.TrimRight(fields[0], ".,")); d >= 0 {
			w.day, fields = d, fields[1:]
		}
	}
	if len(fields) == 2 {
		w.which, fields = fields[1], fields[:1]
	}
	if len(fields) != 1 {
		return refuse("", whenWanted)
	}
	var err error
	var bare *daytime.Bare
	w.hour, w.minute, err = daytime.Parse(fields[0])
	switch {
	case errors.As(err, &bare) && bare.N > 23:
		return refuse("", "type +{typed} for minutes from now, or a time such as 22:30", bare.Typed)
	case errors.As(err, &bare):
		return refuse("", "type {typed}:00 for the time, or +{typed} for minutes from now", bare.Typed)
	case errors.Is(err, daytime.ErrNone):
		return refuse("", whenWanted)
	case err != nil:
		return refuse("", "{wrong}", err)
	}
	return nil
}

// shown is the wished time of day.
func (w *wish) shown() string { return fmt.Sprintf("%02d:%02d", w.hour, w.minute) }

// find is the nearest instant on the right side of now at which the clock on
// the wall shows the wished time.
func (w *wish) find() (time.Time, error) {
	var never *cellar.Rejection
	for _, date := range w.days() {
		all := wall(date, w.hour, w.minute, w.zone)
		if len(all) == 0 && never == nil {
			never = refuse("", noSuchHour, w.shown(), date.Format("Mon 2 Jan"))
		}
		if hits := w.fitting(all); len(hits) > 0 {
			return w.one(hits, all)
		}
		if never != nil {
			return time.Time{}, never
		}
	}
	return time.Time{}, refuse("", whenWanted)
}

// fitting are the instants on the right side of now.
func (w *wish) fitting(all []time.Time) (out []time.Time) {
	for _, t := range all {
		if w.future && t.After(w.now) || !w.future && !t.After(w.now.Add(slack)) {
			out = append(out, t)
		}
	}
	return out
}

// one picks among the instants that fit, asking where there are two.
func (w *wish) one(hits, all []time.Time) (time.Time, error) {
	shown := w.shown()
	if w.which != "" {
		return w.chosen(hits, all, shown)
	}
	if len(hits) > 1 {
		a, b := hits[0].In(w.zone).Format("MST"), hits[len(hits)-1].In(w.zone).Format("MST")
		return time.Time{}, refuse("", "{time} comes twice that night: add {first} for the first, {second} for the "+
			"second",
			shown, a, b)
	}
	d := hits[0].Sub(w.now)
	switch {
	case w.day >= 0 || w.month != 0 || d < farOff && d > -farBack:
		return hits[0], nil
	case w.future:
		return time.Time{}, refuse("", "{time} has just passed: type {day} {time} if you mean that day", shown,
			hits[0].In(w.zone).Format("Mon"))
	}
	return time.Time{}, refuse("", "{time} is in the future: type when it was, or {day} {time} if you mean that day",
		shown,
		hits[0].In(w.zone).Format("Mon"))
}

func (w *wish) chosen(hits, all []time.Time, shown string) (time.Time, error) {
	for i, t := range all {
		nth := map[string]int{"first": 0, "second": 1}
		n, named := nth[w.which]
		if named && (n != i || len(all) < 2) || !named && !strings.EqualFold(t.In(w.zone).Format("MST"), w.which) {
			continue
		}
		for _, h := range hits {
			if h.Equal(t) {
				return t, nil
			}
		}
		if w.future {
			return time.Time{}, refuse("", "{time} {which} is in the past: type a time to come", shown, w.which)
		}
		return time.Time{}, refuse("", "{time} {which} is in the future: type when it was", shown, w.which)
	}
	if len(all) > 0 {
		return time.Time{}, refuse("", "{time} that day is {zone}: type {time} {zone}, not {time} {typed}", shown,
			all[0].In(w.zone).Format("MST"), w.which)
	}
	return time.Time{}, refuse("", whenWanted)
}

// wall lists the instants at which a wall clock shows a time on a date: one as a
// rule, none in the hour that is left out, two in the hour that comes twice.
func wall(date time.Time, hour, minute int, zone *time.Location) []time.Time {
	y, m, d := date.In(zone).Date()
	guess := time.Date(y, m, d, hour, minute, 0, 0, zone)
	var out []time.Time
	for _, off := range []time.Duration{-time.Hour, -30 * time.Minute, 0, 30 * time.Minute, time.Hour} {
		t := guess.Add(off)
		if t.Hour() == hour && t.Minute() == minute && t.Day() == d {
			out = append(out, t)
		}
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Before(out[j]) })
	return out
}
