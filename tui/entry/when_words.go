package entry

import (
	"regexp"
	"strconv"
	"strings"
	"time"
)

// dated is a day and a month before the time: "5 feb 08:58".
var dated = regexp.MustCompile(`^(\d{1,2})\s+([a-z]{3,})\.?\s+(.+)$`)

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
