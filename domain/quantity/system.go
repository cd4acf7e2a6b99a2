package quantity

import (
	"errors"
	"strings"
)

// System is the units a house reads and types: Metric or US. The journal is
// metric either way.
type System int

// The two houses.
const (
	Metric System = iota // hL, g, °C, t
	US                   // US gal, lb, °F, short tons
)

// String returns "metric" or "us".
func (s System) String() string {
	if s == US {
		return "us"
	}
	return "metric"
}

// MarshalText returns "metric" or "us".
func (s System) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads "metric" or "us" in any case; empty text is Metric.
func (s *System) UnmarshalText(text []byte) error {
	switch strings.ToLower(strings.TrimSpace(string(text))) {
	case "", "metric":
		*s = Metric
	case "us":
		*s = US
	default:
		return errors.New("The units of the house are metric or us.")
	}
	return nil
}
