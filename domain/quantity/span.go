package quantity

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"time"
)

// Span is a length of time: a waiting time, a programme, the age of a control.
type Span time.Duration

// longest is the greatest span that can be typed, a year of 366 days.
const longest = Span(366 * 24 * time.Hour)

const spanWanted = "Type a time such as 3h, 90 (minutes), 1h30 or 1:30, above zero."

// Span reads "3h", "180" (minutes), "3:00", "1h30", "1 h 30 min", "90min",
// "1.5h", "90 s" or "2d", to the second. Zero, less, and more than a year are
// refused.
func (h Habit) Span(s string) (Span, error) {
	span, err := parseSpan(s, h)
	if err != nil {
		return 0, err
	}
	if span <= 0 || span > longest {
		return 0, errors.New(spanWanted)
	}
	return span, nil
}

func parseSpan(s string, h Habit) (Span, error) {
	text := strings.TrimSpace(s)
	if text == "" || len(s) > maxTyped {
		return 0, errors.New(spanWanted)
	}
	if hours, minutes, ok := strings.Cut(text, ":"); ok {
		return clockSpan(strings.TrimSpace(hours), strings.TrimSpace(minutes))
	}
	total, smallest, rest := 0.0, math.Inf(1), text
	for rest != "" {
		number, unit, tail := cutPart(rest)
		rest = tail
		seconds, ok := spanUnit(unit, smallest)
		if !ok {
			return 0, errors.New(spanWanted)
		}
		x, err := h.Number(number, 0, longest.Duration().Seconds()/seconds)
		if err != nil {
			return 0, askWithUnit(err, s, unit, spanWanted)
		}
		// A later part counts smaller units than the one before it, and fewer
		// of them than make one of those: "1h75" is a slip of the finger.
		if seconds >= smallest || (!math.IsInf(smallest, 1) && x*seconds >= smallest) || x < 0 {
			return 0, errors.New(spanWanted)
		}
		total += x * seconds
		smallest = seconds
	}
	if total > longest.Duration().Seconds()*100 {
		return 0, errors.New(spanWanted)
	}
	return Span(math.Round(total)) * Span(time.Second), nil
}

// cutPart takes one number and the unit after it off the front of s.
func cutPart(s string) (number, unit, rest string) {
	number, after := splitUnit(s)
	end := strings.IndexFunc(after, isDigit)
	if end < 0 {
		return number, after, ""
	}
	return number, strings.TrimSpace(after[:end]), after[end:]
}

// spanUnit returns the seconds of a unit. A number without one is minutes, or
// the next smaller unit after a larger: "1h30", "2m30".
func spanUnit(unit string, before float64) (seconds float64, ok bool) {
	switch squeeze(unit) {
	case "d", "day", "days":
		return 86400, true
	case "h", "hr", "hrs", "hour", "hours":
		return 3600, true
	case "m", "min", "mins", "minute", "minutes", "'":
		return 60, true
	case "s", "sec", "secs", "second", "seconds":
		return 1, true
	case "":
		if before == 86400 {
			return 3600, true
		}
		if before == 60 {
			return 1, true
		}
		return 60, true
	}
	return 0, false
}

func clockSpan(hours, minutes string) (Span, error) {
	h, errH := strconv.ParseUint(hours, 10, 16)
	m, errM := strconv.ParseUint(minutes, 10, 16)
	if errH != nil || errM != nil || len(minutes) != 2 || m > 59 {
		return 0, errors.New(spanWanted)
	}
	return Span(time.Duration(h)*time.Hour + time.Duration(m)*time.Minute), nil
}

// Duration returns the span as the standard library counts it.
func (s Span) Duration() time.Duration { return time.Duration(s) }

// String returns the span for a person, to the second: "3 h", "1 h 30",
// "45 min", "2 min 30 s".
func (s Span) String() string {
	sign, d := "", s.Duration().Round(time.Second)
	if d < 0 {
		sign, d = "-", -d
	}
	h, m, sec := int64(d/time.Hour), int64(d%time.Hour/time.Minute), int64(d%time.Minute/time.Second)
	var parts []string
	if h > 0 {
		parts = append(parts, strconv.FormatInt(h, 10)+" h")
	}
	switch {
	case h > 0 && m > 0 && sec == 0:
		parts = append(parts, pad2(m))
	case m > 0 || (h == 0 && sec == 0):
		parts = append(parts, strconv.FormatInt(m, 10)+" min")
	}
	if sec > 0 {
		parts = append(parts, strconv.FormatInt(sec, 10)+" s")
	}
	return sign + strings.Join(parts, " ")
}

func pad2(n int64) string {
	if n < 10 {
		return "0" + strconv.FormatInt(n, 10)
	}
	return strconv.FormatInt(n, 10)
}

// MarshalText returns the span without spaces or loss: "3h", "1h30m", "0m".
func (s Span) MarshalText() ([]byte, error) {
	if s == 0 {
		return []byte("0m"), nil
	}
	text := s.Duration().String()
	if strings.HasSuffix(text, "m0s") {
		text = strings.TrimSuffix(text, "0s")
	}
	if strings.HasSuffix(text, "h0m") {
		text = strings.TrimSuffix(text, "0m")
	}
	return []byte(text), nil
}

// UnmarshalText reads what MarshalText wrote, minus included, and what ReadTyped does.
func (s *Span) UnmarshalText(text []byte) error {
	if d, err := time.ParseDuration(string(text)); err == nil && string(text) != "0" {
		*s = Span(d)
		return nil
	}
	return s.ReadTyped(string(text), canonical)
}

// ReadTyped reads what Habit.Span reads, zero included. A bare number is minutes; empty
// text is 0.
func (s *Span) ReadTyped(text string, h Habit) error {
	if text == "" {
		*s = 0
		return nil
	}
	got, err := parseSpan(text, h)
	var ask *AskError
	if d, less := time.ParseDuration(text); err != nil && !errors.As(err, &ask) && less == nil {
		got, err = Span(d), nil // less than nothing is refused where it is used, with its reason
	}
	if err == nil {
		*s = got
	}
	return err
}
