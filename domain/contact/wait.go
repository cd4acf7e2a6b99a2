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

// ParseWait reads what quantity.ParseSpan reads. Of a number alone the unit is asked,
// with a *quantity.AskError.
func ParseWait(s string) (Wait, error) {
	span, err := quantity.ParseSpan(s)
	if number := strings.TrimSpace(s); err == nil && strings.Trim(number, "0123456789., ") == "" {
		hours, minutes := number+" h", number+" min"
		return 0, &quantity.AskError{Input: number, Options: []string{hours, minutes}, Message: "\"" + number + "\" has no unit: type " + hours + " or " + minutes + "."}
	}
	return Wait(span), err
}

// Duration returns the wait as the standard library counts it.
func (w Wait) Duration() time.Duration { return time.Duration(w) }

// String returns the wait for a person, as a span is written.
func (w Wait) String() string { return quantity.Span(w).String() }

// MarshalText writes the wait as a span is written.
func (w Wait) MarshalText() ([]byte, error) { return quantity.Span(w).MarshalText() }

// UnmarshalText reads what MarshalText wrote and what ParseWait reads.
func (w *Wait) UnmarshalText(text []byte) error {
	var ask *quantity.AskError
	if _, err := ParseWait(string(text)); errors.As(err, &ask) {
		return err
	}
	return (*quantity.Span)(w).UnmarshalText(text)
}
