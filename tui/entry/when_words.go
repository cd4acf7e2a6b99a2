package entry

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"
)

var (
	// halfDay is "11 pm", "11:05pm", "1105 p.m.", with what stands before it.
	halfDay = regexp.MustCompile(`^(.*?)(\d{1,2})[:.]?(\d{2})?\s*(a|p)\.?m\.?$`)
	// hundred is "2300h", "2300 hours": a time as it is said over a radio.
	hundred = regexp.MustCompile(`^(.*?\b)(\d{3,4})\s?(h|hrs?|hours?)$`)
	// dated is a day and a month before the time: "5 feb 08:58".
	dated = regexp.MustCompile(`^(\d{1,2})\s+([a-z]{3,})\.?\s+(.+)$`)
)

// plainTime puts a time of the twelve-hour clock, or one with an h behind four
// figures, into 24 hours; anything else stays as it is.
func plainTime(text string) (string, error) {
	if m := hundred.FindStringSubmatch(text); m != nil && (m[1] == "" || !strings.ContainsAny(m[1], "+-\u2212")) && !strings.HasPrefix(m[1], "in ") {
		return m[1] + m[2], nil
	}
	m := halfDay.FindStringSubmatch(text)
	if m == nil {
		return text, nil
	}
	hour, _ := strconv.Atoi(m[2])
	if hour < 1 || hour > 12 {
		return "", refuse("", "there is no %s %sm; type 1 to 12, or the time without it", m[2], m[4])
	}
	hour %= 12
	if m[4] == "p" {
		hour += 12
	}
	minute := m[3]
	if minute == "" {
		minute = "00"
	}
	return fmt.Sprintf("%s%02d:%s", m[1], hour, minute), nil
}

// date reads a day and a month and leaves the time.
func (w *wish) date(text string) (rest string) {
	m := dated.FindStringSubmatch(text)
	if m == nil {
		return text
	}
	for month := time.January; month <= time.December; month++ {
		if name := strings.ToLower(month.String()); strings.HasPrefix(name, m[2]) {
			w.dayOf, _ = strconv.Atoi(m[1])
			w.month = month
			return m[3]
		}
	}
	return text
}

// days are the days on which the time may lie, the nearest first; each is its
// noon, which is there on every day.
func (w *wish) days() (out []time.Time) {
	y, m, d := w.now.In(w.zone).Date()
	step := 1
	if !w.future {
		step = -1
	}
	if w.month != 0 {
		for _, year := range []int{y, y + step} {
			if t := time.Date(year, w.month, w.dayOf, 12, 0, 0, 0, w.zone); t.Day() == w.dayOf {
				out = append(out, t)
			}
		}
		return out
	}
	for off := range 9 {
		t := time.Date(y, m, d+step*off, 12, 0, 0, 0, w.zone)
		if w.day < 0 || int(t.Weekday()) == w.day {
			out = append(out, t)
		}
	}
	return out
}
