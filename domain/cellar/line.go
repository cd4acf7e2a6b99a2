package cellar

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"
	"time"

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
		return nil, reject("do", "do", "{do:%q} is no command; {commands} are", head.Do, strings.Join(CommandNames(), ", "))
	}
	var body map[string]json.RawMessage
	if err := json.Unmarshal(line, &body); err != nil {
		return nil, lineError(err)
	}
	delete(body, "do")
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
	return c, nil
}

// lineError puts a decoding error into words for who typed the line.
func lineError(err error) error {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	var at *time.ParseError
	switch msg := err.Error(); {
	case errors.As(err, &syntax), errors.Is(err, io.ErrUnexpectedEOF):
		return reject("json", "", "this is no JSON object: {why}", err)
	case errors.As(err, &kind):
		return reject("json", kind.Field, "{field} is not written as a {value}", kind.Field, kind.Value)
	case errors.As(err, &at):
		return reject("instant", "", "{value} is no instant; write it like 2026-09-24T22:15:00+02:00", at.Value)
	case strings.Contains(msg, "unknown field"):
		name := strings.Trim(msg[strings.LastIndex(msg, " ")+1:], `"`)
		return reject("field", name, "there is no field {name:%q} in this command", name)
	default:
		return reject("value", "", "{msg}", strings.TrimPrefix(msg, "json: "))
	}
}

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
