package cellar

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"cellar.example/mustwatch/domain/quantity"
)

// ParseLine reads one command in the line format: a JSON object whose "do"
// names the command and whose other names are its fields. Quantities are text
// with their unit ("192 hL", "576 g", "9.4 °C", "3 g/hL"), instants are RFC 3339
// with their offset. An unknown name is refused, for it is a slip that would
// otherwise lose what was typed. A quantity with two readings is asked about, see
// quantity.Habit.Number. The error is a *Rejection.
func ParseLine(line []byte) (Command, error) { return House{}.ParseLine(line) }

// ParseLine reads a line as the house writes its quantities.
func (h House) ParseLine(line []byte) (Command, error) { return parseLine(line, h.Habit()) }

func parseLine(line []byte, h quantity.Habit) (Command, error) {
	var head struct {
		Do string `json:"do"`
	}
	if err := json.Unmarshal(line, &head); err != nil {
		return nil, lineError(err)
	}
	c, ok := NewCommand(head.Do)
	if !ok {
		return nil, reject("do", "do", "{do:%q} is not a command; the commands are {commands}", head.Do,
			strings.Join(CommandNames(), ", "))
	}
	var body map[string]json.RawMessage
	if err := json.Unmarshal(line, &body); err != nil {
		return nil, lineError(err)
	}
	delete(body, "do")
	if err := unknownField(body, reflect.TypeOf(c).Elem()); err != nil {
		return nil, err
	}
	if err := respelled(body, reflect.TypeOf(c).Elem(), h, ""); err != nil {
		return nil, err
	}
	rest, err := json.Marshal(body)
	if err != nil {
		return nil, lineError(err)
	}
	dec := json.NewDecoder(bytes.NewReader(rest))
	dec.DisallowUnknownFields()
	if err := dec.Decode(c); err != nil {
		return nil, lineError(err)
	}
	if err := named(c.head().Entry); err != nil {
		return nil, err
	}
	return c, nil
}

// maxID is how long the id of a line may be, in characters: a digest written out fits.
const maxID = 100

// named refuses the id of a line that nobody could be told of.
func named(id string) error {
	switch {
	case utf8.RuneCountInString(id) > maxID:
		return reject("id", "id", "an id has up to {most} characters, this one has {count}", maxID,
			utf8.RuneCountInString(id))
	case strings.TrimSpace(id) != id:
		return reject("id", "id", "leave out the blanks around the id {id:%q}", id)
	case strings.ContainsFunc(id, unicode.IsControl):
		return reject("id", "id", "an id is one line of text; {id:%q} has a control character in it", id)
	}
	return nil
}

// lineError puts a decoding error into words for who typed the line.
func lineError(err error) error {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	var at *time.ParseError
	switch {
	case errors.As(err, &syntax), errors.Is(err, io.ErrUnexpectedEOF):
		return reject("json", "", "this is not a JSON object: {why}", err)
	case errors.As(err, &kind):
		field := strings.TrimPrefix(kind.Field, "Head.") // what every line has
		return reject("json", field, "{field} cannot be {what}", field, cmp.Or(jsonKinds[kind.Value], kind.Value))
	case errors.As(err, &at):
		return reject("instant", "", "{value} is not a time; type it like 2026-09-24T22:15:00+02:00", at.Value)
	default:
		return reject("value", "", "{why}", err)
	}
}

// jsonKinds are the kinds of JSON values in the words of whoever types one.
var jsonKinds = map[string]string{"number": "a number", "string": "text", "bool": "true or false", "array": "a list",
	"object": "an object"}

// FormatLine writes a command in the line format.
func FormatLine(c Command) ([]byte, error) {
	body, err := json.Marshal(c)
	if err != nil {
		return nil, fmt.Errorf("write a %s line: %w", Do(c), err)
	}
	if string(body) == "{}" {
		return []byte(fmt.Sprintf(`{"do":%q}`, Do(c))), nil
	}
	return append([]byte(fmt.Sprintf(`{"do":%q,`, Do(c))), body[1:]...), nil
}

// CommandNames lists the names of the commands, in the order of their subjects.
func CommandNames() []string { return slices.Clone(commandNames.order) }
