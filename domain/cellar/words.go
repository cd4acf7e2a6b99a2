package cellar

import (
	"time"

	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// Words makes a sentence of what was said, in the units and the zone of the house.
func (s *State) Words(x text.Say) string { return x.In(s) }

// phrase is a template with its values as this house says it.
func (s *State) phrase(template string, values ...any) string {
	return s.Words(text.Of(template, values...))
}

// Word puts a value of a text into words, as a text.Voice.
func (s *State) Word(kind, raw string) string {
	switch kind {
	case text.Time:
		if t, err := time.Parse(time.RFC3339, raw); err == nil {
			return s.Clock(t)
		}
	case "style":
		return Style(raw).Name()
	case "ref":
		return s.NameOf(subject.Parse(raw))
	}
	return text.Units(s.House.Units).Word(kind, raw)
}

// after is words that follow others, with what stands between; nothing where there are none.
func after(between, words string) string {
	if words == "" {
		return ""
	}
	return between + words
}
