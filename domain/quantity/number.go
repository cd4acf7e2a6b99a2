package quantity

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// maxTyped is the longest text a parser looks at, in bytes: room for the longest
// text a float64 is written as, and an end to what a stuck key can cost.
const maxTyped = 400

// maxCount bounds every volume in microlitres and every mass in milligrams.
// Below it a float64 names each whole count, so text and number agree.
const maxCount = 1_000_000_000_000_000

// AskError says that an input has more than one honest reading. The screen
// shows Message and offers Options, each of which says one thing where Input said
// two; an option is read again like anything typed.
type AskError struct {
	Input   string
	Options []string
	Message string
}

// Error returns the sentence for the person at the keyboard.
func (e *AskError) Error() string { return e.Message }

func newAsk(input string, options ...string) *AskError {
	msg := "\"" + input + "\" can be read in two ways: type " + strings.Join(options, " or ") + "."
	if len(options) == 1 {
		msg = "Type " + options[0] + " if that is what \"" + input + "\" means."
	}
	return &AskError{Input: input, Options: options, Message: msg}
}

var errNumber = errors.New("Type a number such as 12, 12.5 or 12,5.")

// Number reads a plain number that the field takes from low to high: with a
// decimal point or a decimal comma, and spaces between groups of three. It is the one
// rule for every number that is typed. "1,5" and "1.5" are 1.5 in every house. One
// sign with three figures behind it, "1.500" or "1,500", may be 1.5 or 1500: where the
// field can hold only one of the two it is that one, where it can hold both the
// house's decimal sign says which, and a house that has named none is asked, by an
// *AskError. "0.500" is 0.5, since no thousands begin with 0. Two signs, "1,500.25",
// are taken where they fit the house's and asked about where not. No exponents, no
// NaN, no infinity. A number outside low and high is still returned: the field says
// in its own words what it takes.
func (h Habit) Number(s string, low, high float64) (float64, error) {
	return parseNumber(s, h, func(x float64) (float64, bool) { return x, x >= low && x <= high })
}

// means turns a number into what it would be in a field, and reports whether the field
// can hold that.
type means func(x float64) (value float64, possible bool)

// parseNumber reads as Habit.Number does.
func parseNumber(s string, h Habit, m means) (float64, error) {
	if len(s) > maxTyped {
		return 0, errNumber
	}
	text := strings.TrimSpace(s)
	sign, body := cutSign(text)
	body, grouped, ok := joinGroups(body)
	if !ok {
		return 0, errNumber
	}
	whole, frac, one := strings.Cut(strings.Replace(body, ",", ".", 1), ".")
	if strings.ContainsAny(frac, ".,") {
		return h.parted(text, sign, body)
	}
	x, err := decimal(sign, whole, frac)
	if err != nil || !one || grouped || !wellGrouped([]string{whole, frac}) {
		return x, err
	}
	y, err := decimal(sign, whole+frac, "")
	if err != nil {
		return 0, err
	}
	asX, possibleX := m(x)
	asY, possibleY := m(y)
	mark := h.mark()
	switch {
	case !possibleY, possibleX && asX == asY:
		return x, nil
	case !possibleX:
		return y, nil
	case mark == unnamed:
		return 0, newAsk(text, ToType(trimZeros(sign+whole+"."+frac)), sign+whole+frac)
	case strings.Contains(body, string(mark)):
		return x, nil
	}
	return y, nil
}

// parted reads a number with two or more signs: thousands, as one of the signs parts
// them, and an optional fraction after the other. A house that has named its decimal
// sign parts thousands with the other one.
func (h Habit) parted(text, sign, body string) (float64, error) {
	plain, by, ok := thousands(body)
	switch mark := h.mark(); {
	case !ok:
		return 0, errNumber
	case mark == unnamed || string(mark) == by:
		return 0, newAsk(text, ToType(sign+plain))
	}
	return decimal(sign, plain, "")
}

func decimal(sign, whole, frac string) (float64, error) {
	if whole == "" && frac == "" {
		return 0, errNumber
	}
	x, err := strconv.ParseFloat(sign+whole+strings.TrimRight("."+frac, "."), 64)
	if err != nil || !finite(x) {
		return 0, errNumber
	}
	return x + 0, nil // + 0 turns a minus zero into zero
}

// ToType returns a text that begins with a number so that it can be typed again in
// every house: three decimals get a fourth, for "14.625 kg" may be read as 14625.
func ToType(text string) string {
	number, unit := splitUnit(text)
	_, body := cutSign(number)
	if whole, frac, ok := strings.Cut(body, "."); !ok || !wellGrouped([]string{whole, frac}) {
		return text
	}
	return strings.TrimSpace(number + "0 " + unit)
}

func cutSign(s string) (sign, rest string) {
	for _, m := range []string{"-", "−", "–"} {
		if r, ok := strings.CutPrefix(s, m); ok {
			return "-", r
		}
	}
	return "", strings.TrimPrefix(s, "+")
}

// joinGroups takes the spaces out of "14 600,5". It refuses spaces that do not
// part groups of three, and every character that is no digit, comma or point.
func joinGroups(s string) (joined string, grouped, ok bool) {
	for _, r := range s {
		if !isDigit(r) && r != ',' && r != '.' && !unicode.IsSpace(r) {
			return "", false, false
		}
	}
	fields := strings.Fields(s)
	if len(fields) == 0 {
		return "", false, false
	}
	if len(fields) == 1 {
		return s, false, true
	}
	last := fields[len(fields)-1]
	if i := strings.IndexAny(last, ",."); i >= 0 {
		last = last[:i]
	}
	groups := append(append([]string{}, fields[:len(fields)-1]...), last)
	return strings.Join(fields, ""), true, wellGrouped(groups)
}

// thousands reads a number with two or more marks as groups of three with an
// optional fraction after the other mark; by is the mark between the groups.
func thousands(s string) (plain, by string, ok bool) {
	whole, frac := s, ""
	last := strings.LastIndexAny(s, ",.")
	if mark := s[last : last+1]; strings.Count(s, mark) == 1 {
		whole, frac = s[:last], s[last+1:]
	}
	by = ","
	if strings.Contains(whole, ".") {
		by = "."
	}
	groups := strings.Split(whole, by)
	if !wellGrouped(groups) {
		return "", "", false
	}
	return trimZeros(strings.Join(groups, "") + "." + frac), by, true
}

func wellGrouped(groups []string) bool {
	for i, g := range groups {
		if strings.Trim(g, "0123456789") != "" {
			return false
		}
		if i == 0 && (len(g) < 1 || len(g) > 3 || g[0] == '0') {
			return false
		}
		if i > 0 && len(g) != 3 {
			return false
		}
	}
	return len(groups) > 1
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

func trimZeros(s string) string {
	if !strings.Contains(s, ".") {
		return s
	}
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// splitUnit parts a typed quantity into its number and its unit as written.
func splitUnit(s string) (number, unit string) {
	s = strings.TrimSpace(s)
	end := strings.IndexFunc(s, func(r rune) bool {
		return !isDigit(r) && !unicode.IsSpace(r) && !strings.ContainsRune("+-−–.,", r)
	})
	if end < 0 {
		return s, ""
	}
	return strings.TrimSpace(s[:end]), strings.TrimSpace(s[end:])
}

// squeeze makes spellings of one unit alike: "US Gal" and "usgal".
func squeeze(unit string) string {
	return strings.ToLower(strings.Join(strings.Fields(unit), ""))
}

// askWithUnit gives the options of an *AskError about a number the unit that
// was typed after it. Any other error is replaced by the sentence given.
func askWithUnit(err error, input, unit, sentence string) error {
	var ask *AskError
	if !errors.As(err, &ask) {
		return errors.New(sentence)
	}
	options := make([]string, len(ask.Options))
	for i, o := range ask.Options {
		options[i] = strings.TrimSpace(o + " " + unit)
	}
	return newAsk(strings.TrimSpace(input), options...)
}
