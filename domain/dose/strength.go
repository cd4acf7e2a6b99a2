package dose

import (
	"encoding/json"
	"errors"
	"fmt"
	"math/big"
	"strconv"
	"strings"

	"cellar.example/mustwatch/domain/quantity"
)

// Strength is how much of its active substance a product holds: so many grams in a
// litre of a solution, or so much SO2 in what is weighed. The zero value is a product
// that is its own active substance.
type Strength struct {
	Value float64
	Unit  StrengthUnit
}

// StrengthUnit says what the value of a Strength counts.
type StrengthUnit string

// The units of a strength. Journals of the first version kept a bare number, which was
// g/L: in memory it has no unit.
const (
	GPerL StrengthUnit = "g/L"
	OfSO2 StrengthUnit = "% SO2"
)

// The bounds of a strength: pure SO2 fills neither a litre nor more than itself.
const mostPerLitre, mostPercent = 1000, 100

const strengthWanted = "Type a strength as 150 g/L, 57.6 % SO2 or 10 % salt (of potassium metabisulphite)."

// ParseStrength reads "150 g/L", "6 % SO2" or "10 % salt". Salt is potassium
// metabisulphite and counts by the SO2 in it, 57.6 %. A number alone, and a per cent
// that says neither of SO2 nor of salt, are asked for it with a *quantity.AskError: in a
// can marked 10 % there may be 100 g of SO2 in a litre or 57.6.
func ParseStrength(s string, h quantity.Habit) (Strength, error) {
	number, per, of, x, err := strengthParts(s, h)
	switch {
	case err != nil:
		return Strength{}, strengthFault(err, strengthWanted)
	case per == "" && of == "":
		return Strength{}, asking(s, `"%s" has no unit`, number+" g/L", number+" % SO2", number+" % salt")
	case per == "%" && of == "":
		return Strength{}, asking(s, `"%s" of what? Salt is potassium metabisulphite, 57.6 %% SO2`, number+" % SO2",
			number+" % salt")
	case per == "" || per == "%" && x > mostPercent:
		return Strength{}, errors.New(strengthWanted)
	}
	if of == "salt" {
		x, _ = new(big.Rat).Mul(decimal(x), decimal(TheoryShare)).Float64()
	}
	if per == "%" {
		return Strength{x, OfSO2}, nil
	}
	return Strength{x, GPerL}, nil
}

// ParseSolution reads the strength of a solution of any product, "100 g/L" or "10 %",
// which is w/v.
func ParseSolution(s string, h quantity.Habit) (Strength, error) {
	const wanted = "Type the strength of the solution as 100 g/L or 10 % (w/v)."
	number, per, of, x, err := strengthParts(s, h)
	switch {
	case err != nil:
		return Strength{}, strengthFault(err, wanted)
	case of != "" || per == "%" && x >= mostPercent:
		return Strength{}, errors.New(wanted)
	case per == "":
		return Strength{}, asking(s, `"%s" has no unit`, number+" g/L", number+" %")
	case per == "%":
		x *= 10
	}
	return Strength{x, GPerL}, nil
}

var errStrength = errors.New("no strength")

// strengthParts reads the number of a strength, above 0, and what it counts: per is
// "g/l", "%" or "", of is "so2", "salt" or "".
func strengthParts(s string, h quantity.Habit) (number, per, of string, x float64, err error) {
	number, unit := parted(s)
	if x, err = h.Number(number, 0, mostPerLitre); err != nil {
		return number, "", "", 0, err
	}
	per, of, known := substance(unit)
	if !known || !(x > 0 && x <= mostPerLitre) {
		return number, "", "", 0, errStrength
	}
	return number, per, of, x, nil
}

// strengthFault keeps a question about the number and puts anything else into a sentence.
func strengthFault(err error, wanted string) error {
	var ask *quantity.AskError
	if errors.As(err, &ask) {
		return err
	}
	return errors.New(wanted)
}

// parted parts a typed strength into its number and what stands behind it.
func parted(s string) (number, unit string) {
	s = strings.TrimSpace(s)
	end := strings.IndexFunc(s, func(r rune) bool { return !strings.ContainsRune("0123456789.,+- \u2212", r) })
	if end < 0 || len(s) > 100 {
		return s, ""
	}
	return strings.TrimSpace(s[:end]), s[end:]
}

// substance reads "g/L", "% of SO2" or "% w/v salt".
func substance(unit string) (per, of string, known bool) {
	s := strings.ToLower(strings.Join(strings.Fields(unit), ""))
	for _, p := range []string{"g/l", "%"} {
		if rest, ok := strings.CutPrefix(s, p); ok {
			per, s = p, rest
		}
	}
	if per == "%" {
		s = strings.TrimPrefix(s, "w/v")
	}
	switch s = strings.TrimPrefix(s, "of"); s {
	case "":
		return per, "", true
	case "so2":
		return per, "so2", true
	case "salt", "metabisulphite", "metabisulfite", "potassiummetabisulphite", "potassiummetabisulfite", "k2s2o5":
		return per, "salt", true
	}
	return "", "", false
}

// asking makes the question of a typed strength; says takes what was typed.
func asking(s, says string, options ...string) error {
	typed, last := strings.TrimSpace(s), len(options)-1
	list := strings.Join(options[:last], ", ") + " or " + options[last]
	return &quantity.AskError{Input: typed, Options: options, Message: fmt.Sprintf(says, typed) + ": type " + list +
		"."}
}

// IsZero reports whether nothing is known of a strength, or the product is its own
// active substance.
func (s Strength) IsZero() bool { return s.Value == 0 }

// Poured reports whether it is the strength of a solution.
func (s Strength) Poured() bool { return s.Value > 0 && s.Unit != OfSO2 }

// Solution is a share as the strength of a solution: a per cent of one is w/v.
func (s Strength) Solution() Strength {
	if s.Unit == OfSO2 {
		return Strength{s.Value * 10, GPerL}
	}
	return s
}

// String returns the canonical text, "150 g/L" or "57.6 % SO2"; none is empty.
func (s Strength) String() string {
	if s.IsZero() {
		return ""
	}
	unit := s.Unit
	if unit == "" {
		unit = GPerL
	}
	text := strconv.FormatFloat(s.Value, 'f', -1, 64)
	// a third of a per cent of salt
	if short := strconv.FormatFloat(s.Value, 'f', 4, 64); s.Value >= 1 && len(short) < len(text) {
		text = strings.TrimRight(strings.TrimRight(short, "0"), ".")
	}
	return text + " " + string(unit)
}

// MarshalText returns the canonical text.
func (s Strength) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads what the program wrote, see ReadTyped.
func (s *Strength) UnmarshalText(text []byte) error {
	return s.ReadTyped(string(text), quantity.Habit{Decimal: quantity.Point})
}

// ReadTyped reads what ParseStrength reads; empty text is none.
func (s *Strength) ReadTyped(text string, h quantity.Habit) (err error) {
	*s = Strength{}
	if text != "" {
		*s, err = ParseStrength(text, h)
	}
	return err
}

// UnmarshalJSON reads the text, and the bare number of older journals.
func (s *Strength) UnmarshalJSON(text []byte) error {
	if len(text) > 0 && text[0] != '"' {
		*s = Strength{}
		return json.Unmarshal(text, &s.Value)
	}
	var typed string
	if err := json.Unmarshal(text, &typed); err != nil {
		return err
	}
	return s.UnmarshalText([]byte(typed))
}

// Product returns how much of a product holds a mass of its active substance, rounded
// to a Step.
func (s Strength) Product(active quantity.Mass) quantity.Amount {
	switch {
	case s.IsZero():
		return quantity.Amount{Mass: active}
	case s.Poured():
		return quantity.Amount{Volume: Stock(active, s.Value)}
	}
	return quantity.Amount{Mass: Powder(active, s.Value/100)}
}

// Active returns the active substance in an amount of product, to the milligram. A
// powder has no strength in a litre, a liquid no share: then it is the amount itself.
func (s Strength) Active(a quantity.Amount) quantity.Amount {
	switch {
	case s.IsZero() || a.Liquid() != s.Poured():
		return a
	case s.Poured():
		return quantity.Amount{Mass: quantity.Grams(a.Volume.Litres() * s.Value)}
	}
	return quantity.Amount{Mass: quantity.Grams(a.Mass.Grams() * s.Value / 100)}
}

// Counted returns the active substance that a dose counts for: what was asked for where
// only the rounding of what was measured lies between, else what the amount holds.
func (s Strength) Counted(asked, measured quantity.Amount) quantity.Amount {
	holds := s.Active(measured)
	if s.IsZero() || asked.Liquid() || holds.Liquid() {
		return holds
	}
	slack := s.Active(Step(measured)).Mass/2 + Step(asked).Mass/2
	if off := holds.Mass - asked.Mass; off >= -slack && off <= slack {
		return asked
	}
	return holds
}

// codexLeast is the least SO2 in a litre of an SO2 solution. Source: International
// Oenological Codex, sulphur dioxide, read. For a potassium bisulphite solution it allows
// 70 to 200 g/L (resolution OIV-OENO 646-2019, read), which no card tells from the other.
const codexLeast = 50

// BelowCodex says that a solution of SO2 is weaker than the International Oenological
// Codex allows; "" when it is not.
func (s Strength) BelowCodex() string {
	if !s.Poured() || s.Value >= codexLeast {
		return ""
	}
	return fmt.Sprintf("%s is weaker than the International Oenological Codex allows for a solution of SO2: %d g/L.", s,
		codexLeast)
}
