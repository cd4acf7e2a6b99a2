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

// maxCount bounds every volume in millilitres and every mass in milligrams.
// Below it a float64 names each whole count, so text and number agree.
const maxCount = 1_000_000_000_000_000

// AskError says that an input has more than one honest reading. The screen
// shows Message and offers Options, each of which says one thing where Input said
// two; an option is read anew like anything typed.
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

// ParseNumber reads a plain number with a decimal point or a decimal comma, and
// spaces between groups of three. "1,5" and "1.5" are 1.5; "1.500" is 1.5. Where
// a comma or a second mark could stand for thousands ("1,500", "1.500,0") it
// returns an *AskError instead of guessing. "0,500" is 0.5, since no thousands
// begin with a nought. No exponents, no NaN, no infinity.
func ParseNumber(s string) (float64, error) {
	return parseNumber(s, false)
}

// parseNumber reads as ParseNumber does; with comma set, one comma is always a
// decimal comma.
func parseNumber(s string, comma bool) (float64, error) {
	if len(s) > maxTyped {
		return 0, errNumber
	}
	text := strings.TrimSpace(s)
	sign, body := cutSign(text)
	body, grouped, ok := joinGroups(body)
	if !ok {
		return 0, errNumber
	}
	commas, points := strings.Count(body, ","), strings.Count(body, ".")
	if commas+points > 1 {
		if plain, ok := thousands(body); ok {
			return 0, newAsk(text, sign+plain)
		}
		return 0, errNumber
	}
	if commas == 1 {
		whole, frac, _ := strings.Cut(body, ",")
		if !comma && !grouped && len(frac) == 3 && len(whole) >= 1 && len(whole) <= 3 && whole[0] != '0' {
			return 0, newAsk(text, sign+trimZeros(whole+"."+frac), sign+whole+frac)
		}
		body = whole + "." + frac
	}
	if body == "." || body == "" {
		return 0, errNumber
	}
	x, err := strconv.ParseFloat(sign+body, 64)
	if err != nil || !finite(x) {
		return 0, errNumber
	}
	return x + 0, nil // + 0 turns a minus nought into nought
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
// optional fraction after the other mark.
func thousands(s string) (plain string, ok bool) {
	whole, frac := s, ""
	last := strings.LastIndexAny(s, ",.")
	if mark := s[last : last+1]; strings.Count(s, mark) == 1 {
		whole, frac = s[:last], s[last+1:]
	}
	sep := ","
	if strings.Contains(whole, ".") {
		sep = "."
	}
	groups := strings.Split(whole, sep)
	if !wellGrouped(groups) {
		return "", false
	}
	return trimZeros(strings.Join(groups, "") + "." + frac), true
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
