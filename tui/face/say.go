package face

import (
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/text"
)

// Say makes a sentence of a template and its values, in the units of the house and with instants as a face says
// them: with the weekday where it is another day.
func (g Sight) Say(template string, values ...any) string {
	return text.Of(template, values...).In(voice{g})
}

// voice is how a face says the values of a text.
type voice struct{ Sight }

// Word implements text.Voice.
func (v voice) Word(kind, raw string) string {
	if t, err := time.Parse(time.RFC3339, raw); kind == text.Time && err == nil {
		return cellar.Clock(t, v.Now, v.State.Zone())
	}
	return v.State.Word(kind, raw)
}
