package codec

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"unicode/utf8"
)

// envelope is a record as its object spells it, before anything is understood.
type envelope struct {
	V       int             `json:"v"`
	Kind    string          `json:"kind"`
	Seq     uint64          `json:"seq"`
	At      string          `json:"at"`
	Written string          `json:"saved"`
	By      string          `json:"by"`
	Station string          `json:"station"`
	Entry   string          `json:"id"`
	Turn    uint64          `json:"turn"`
	Fact    json.RawMessage `json:"fact"`
}

// appendTo writes the object without its seal. The order of the members is the
// one that scan reads; station and entry are left out when empty.
func (e *envelope) appendTo(b []byte) []byte {
	b = append(b, `{"v":`...)
	b = strconv.AppendInt(b, int64(e.V), 10)
	b = appendMember(b, `,"kind":`, e.Kind)
	b = append(b, `,"seq":`...)
	b = strconv.AppendUint(b, e.Seq, 10)
	b = appendMember(b, `,"at":`, e.At)
	b = appendMember(b, `,"saved":`, e.Written)
	b = appendMember(b, `,"by":`, e.By)
	if e.Station != "" {
		b = appendMember(b, `,"station":`, e.Station)
	}
	if e.Entry != "" {
		b = appendMember(b, `,"id":`, e.Entry)
	}
	if e.Turn != 0 {
		b = append(b, `,"turn":`...)
		b = strconv.AppendUint(b, e.Turn, 10)
	}
	b = append(b, `,"fact":`...)
	b = append(b, e.Fact...)
	return append(b, '}')
}

func appendMember(b []byte, name, value string) []byte {
	b = append(b, name...)
	if plain(value) {
		b = append(b, '"')
		b = append(b, value...)
		return append(b, '"')
	}
	quoted, err := marshal(value)
	if err != nil { // a string always marshals; broken UTF-8 is replaced
		quoted = []byte(`""`)
	}
	return append(b, quoted...)
}

// marshal is json.Marshal without the escapes meant for web pages, so that
// "<", ">" and "&" stay readable in the file.
func marshal(v any) ([]byte, error) {
	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimRight(buf.Bytes(), "\n"), nil
}

// plain reports whether a text stands in JSON as it is.
func plain(s string) bool {
	for i := 0; i < len(s); i++ {
		if c := s[i]; c < 0x20 || c == '"' || c == '\\' {
			return false
		}
	}
	return utf8.ValidString(s)
}

// parse reads a sealed object. Nearly every record takes the scan; whatever it
// does not know, such as a member that a newer program added, takes the long
// way through encoding/json.
func parse(sealed []byte) (envelope, error) {
	if len(sealed) > sealLen {
		if env, ok := scan(sealed[:len(sealed)-sealLen]); ok {
			return env, nil
		}
	}
	var env envelope
	if err := json.Unmarshal(sealed, &env); err != nil {
		return envelope{}, fmt.Errorf("parse the envelope: %w", err)
	}
	return env, nil
}

// scan reads an object, less its seal, written by appendTo. It exists for the
// start of a board: a harvest is folded several times faster with it.
func scan(open []byte) (envelope, bool) {
	s := scanner{rest: open, ok: true}
	var env envelope
	s.expect(`{"v":`)
	env.V = int(s.number())
	s.expect(`,"kind":`)
	env.Kind = s.text()
	s.expect(`,"seq":`)
	env.Seq = s.number()
	s.expect(`,"at":`)
	env.At = s.text()
	s.expect(`,"saved":`)
	env.Written = s.text()
	s.expect(`,"by":`)
	env.By = s.text()
	if s.take(`,"station":`) {
		env.Station = s.text()
	}
	if s.take(`,"id":`) {
		env.Entry = s.text()
	}
	if s.take(`,"turn":`) {
		env.Turn = s.number()
	}
	s.expect(`,"fact":`)
	env.Fact = json.RawMessage(s.rest)
	return env, s.ok
}

// scanner reads on from the front of rest; once something is not as expected,
// ok is false for good and what it returns has no meaning.
type scanner struct {
	rest []byte
	ok   bool
}

func (s *scanner) take(lit string) bool {
	if !s.ok || len(s.rest) < len(lit) || string(s.rest[:len(lit)]) != lit {
		return false
	}
	s.rest = s.rest[len(lit):]
	return true
}

func (s *scanner) expect(lit string) { s.ok = s.take(lit) }

// number reads a whole number as JSON spells it, of at most 18 digits.
func (s *scanner) number() uint64 {
	var n uint64
	i := 0
	for s.ok && i < len(s.rest) && s.rest[i] >= '0' && s.rest[i] <= '9' {
		n = n*10 + uint64(s.rest[i]-'0')
		i++
	}
	if i == 0 || i > 18 || (i > 1 && s.rest[0] == '0') {
		s.ok = false
		return 0
	}
	s.rest = s.rest[i:]
	return n
}

// text reads a string that needs no unescaping.
func (s *scanner) text() string {
	if !s.take(`"`) {
		s.ok = false
		return ""
	}
	end := bytes.IndexByte(s.rest, '"')
	if end < 0 {
		s.ok = false
		return ""
	}
	out := string(s.rest[:end])
	s.ok = plain(out)
	s.rest = s.rest[end+1:]
	return out
}
