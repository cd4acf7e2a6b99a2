package contact

import (
	"errors"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/quantity"
)

// Wait is the time a row asks for. Its unit is always written: a bare 2 is as likely
// two hours as two minutes, and read the wrong way a contact ends before it has begun.
type Wait quantity.Span

// ParseWait reads what quantity.Habit.Span reads. Of a number alone the unit is asked,
// with a *quantity.AskError.
func ParseWait(s string, h quantity.Habit) (Wait, error) {
	span, err := h.Span(s)
	if number := strings.TrimSpace(s); err == nil && strings.Trim(number, "0123456789., ") == "" {
		hours, minutes := number+" h", number+" min"
		return 0, &quantity.AskError{Input: number, Options: []string{hours, minutes},
			Message: "\"" + number + "\" has no unit: type " + hours + " or " + minutes + "."}
	}
	return Wait(span), err
}

// Duration returns the wait as the standard library counts it.
func (w Wait) Duration() time.Duration { return time.Duration(w) }

// String returns the wait for a person, as a span is written.
func (w Wait) String() string { return quantity.Span(w).String() }

// MarshalText writes the wait as a span is written.
func (w Wait) MarshalText() ([]byte, error) { return quantity.Span(w).MarshalText() }

// UnmarshalText reads what MarshalText wrote, which has a unit.
func (w *Wait) UnmarshalText(text []byte) error {
	return w.read(string(text), quantity.Habit{Decimal: quantity.Point}, (*quantity.Span)(w).UnmarshalText)
}

// ReadTyped reads what ParseWait reads.
func (w *Wait) ReadTyped(text string, h quantity.Habit) error {
	return w.read(text, h, func(b []byte) error { return (*quantity.Span)(w).ReadTyped(string(b), h) })
}

func (w *Wait) read(text string, h quantity.Habit, span func([]byte) error) error {
	var ask *quantity.AskError
	if _, err := ParseWait(text, h); errors.As(err, &ask) {
		return err
	}
	return span([]byte(text))
}
