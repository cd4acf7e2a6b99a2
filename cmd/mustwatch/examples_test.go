package main

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// The examples of the help are played in order into an empty cellar, each at its
// own time. One that is refused, or a command without one, fails here.
func TestEveryExampleOfTheHelpIsTaken(t *testing.T) {
	s := cellar.NewState()
	shown := map[string]bool{}
	for _, group := range subjects {
		for _, x := range group.examples {
			c, err := cellar.ParseLine([]byte(x.line))
			require.NoError(t, err, x.line)
			facts, err := cellar.Decide(s, c, cellar.HeadOf(c).At)
			require.NoError(t, err, x.line)
			for _, r := range cellar.Records(c, facts, cellar.HeadOf(c).At, "test") {
				r.Seq = s.Seq + 1
				cellar.Apply(s, r)
				t.Log(r.Seq, cellar.Kind(r.Fact))
			}
			shown[cellar.Do(c)] = shown[cellar.Do(c)] || !x.quiet
		}
	}
	for _, name := range cellar.CommandNames() {
		assert.True(t, shown[name], "enter --help shows no example of %q", name)
	}
}

func TestTheExamplesAreWhatTheReaderOfLinesTakes(t *testing.T) {
	for _, group := range subjects {
		for _, x := range group.examples {
			_, err := line{text: []byte(x.line)}.command(cellar.House{})
			assert.NoError(t, err, x.line)
			assert.True(t, json.Valid([]byte(x.line)), x.line)
			assert.Equal(t, x.quiet, x.says == "", "a shown example says what it is for: %s", x.line)
		}
	}
}

// Every command takes an id, and gives it back as it was sent.
func TestEveryLineTakesAnID(t *testing.T) {
	for _, group := range subjects {
		for _, x := range group.examples {
			c, err := cellar.ParseLine([]byte(strings.Replace(x.line, "{", `{"id":"probe 7/№ 12",`, 1)))
			require.NoError(t, err, x.line)
			require.Equal(t, "probe 7/№ 12", cellar.HeadOf(c).Entry, x.line)
			out, err := cellar.FormatLine(c)
			require.NoError(t, err)
			require.Contains(t, string(out), `"id":"probe 7/№ 12"`, x.line)
			for _, r := range cellar.Records(c, []cellar.Fact{&cellar.Noted{}}, cellar.HeadOf(c).At, "test") {
				require.Equal(t, "probe 7/№ 12", r.Entry, "the record keeps it")
			}
		}
	}
}
