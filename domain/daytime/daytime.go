// Package daytime reads a time of the day as it is typed in a cellar: "2230", "22:30",
// "22.30", "10:30 pm", "2230h". Everywhere a time is typed it goes through here, on the
// board and on the command line.
//
// It knows no day, no zone and no clock.
package daytime

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

var (
	// halfDay is "11 pm", "11:05pm", "1105 p.m.", with what stands before it.
	halfDay = regexp.MustCompile(`^(.*?)(\d{1,2})[:.]?(\d{2})?\s*(a|p)\.?m\.?$`)
	// hundred is "2300h", "2300 hours": a time as it is said over a radio.
	hundred = regexp.MustCompile(`^(.*?\b)(\d{3,4})\s?(h|hrs?|hours?)$`)
)

const wanted = "type a time such as 2230, 22:30 or 10:30 pm"

// ErrNone is the error for a text that is no time of the day at all.
var ErrNone = errors.New(wanted)

// Parse reads a time of the day. The error is a sentence without a capital and without a
// full stop.
func Parse(text string) (hour, minute int, err error) {
	text, err = Plain(strings.ToLower(strings.TrimSpace(text)))
	if err != nil {
		return 0, 0, err
	}
	h, m, ok := strings.Cut(strings.Replace(text, ".", ":", 1), ":")
	if n := len(h); !ok && (n == 3 || n == 4) {
		h, m = h[:n-2], h[n-2:]
	} else if n, err := digits(h, 2); !ok && err == nil {
		return 0, 0, &Bare{N: n, Typed: h}
	}
	hour, err = digits(h, 2)
	minute, errM := digits(m, 2)
	switch {
	case err != nil || errM != nil || len(m) != 2:
		return 0, 0, ErrNone
	case hour > 23 || minute > 59:
		return 0, 0, fmt.Errorf("there is no %02d:%02d; a day runs from 00:00 to 23:59", hour, minute)
	}
	return hour, minute, nil
}

// Bare is a number alone, which may be an hour or a number of minutes.
type Bare struct {
	N     int
	Typed string
}

func (b *Bare) Error() string {
	if b.N > 23 {
		return wanted
	}
	return fmt.Sprintf("type %s:00 for the time", b.Typed)
}

// Plain puts a time of the twelve-hour clock, or one with an h behind four figures, into
// 24 hours, whatever stands before it; anything else stays as it is. The text is in
// small letters.
func Plain(text string) (string, error) {
	if m := hundred.FindStringSubmatch(text); m != nil && (m[1] == "" || !strings.ContainsAny(m[1], "+-\u2212")) &&
		!strings.HasPrefix(m[1], "in ") {
		return m[1] + m[2], nil
	}
	m := halfDay.FindStringSubmatch(text)
	if m == nil {
		return text, nil
	}
	hour, _ := strconv.Atoi(m[2])
	if hour < 1 || hour > 12 {
		return "", fmt.Errorf("there is no %s %sm; type 1 to 12, or the time without it", m[2], m[4])
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

func digits(s string, most int) (int, error) {
	if len(s) < 1 || len(s) > most || strings.Trim(s, "0123456789") != "" {
		return 0, strconv.ErrSyntax
	}
	return strconv.Atoi(s)
}
