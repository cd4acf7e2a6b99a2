package codec

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// slow reads an envelope with encoding/json alone, the yardstick for scan.
func slow(sealed []byte) (envelope, error) {
	var env envelope
	err := json.Unmarshal(sealed, &env)
	return env, err
}

func TestScanAgreesWithJSON(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringMatching(`[a-zäöü ,:"{}\\]*`))
		env := envelope{
			V: rapid.IntRange(1, 999).Draw(rt, "v"), Kind: text.Draw(rt, "kind"),
			Seq: rapid.Uint64().Draw(rt, "seq"), At: text.Draw(rt, "at"), Written: text.Draw(rt, "written"),
			By: text.Draw(rt, "by"), Station: text.Draw(rt, "station"), Entry: text.Draw(rt, "entry"),
			Fact: json.RawMessage(`{"a":"b"}`),
		}
		sealed, _, err := Seal(env.appendTo(nil), Hash{})
		require.NoError(rt, err)
		want, err := slow(sealed)
		require.NoError(rt, err)
		require.Equal(rt, env, want, "it is written as it was meant")
		got, err := parse(sealed)
		require.NoError(rt, err)
		require.Equal(rt, want, got)
	})
}

func TestScanKnowsWhatIsWritten(t *testing.T) {
	// If this fails, every start has silently become several times slower.
	sealed, _, err := Encode(sample(), Hash{})
	require.NoError(t, err)
	_, ok := scan(sealed[:len(sealed)-sealLen])
	require.True(t, ok)
}

func TestScanLeavesTheRestToJSON(t *testing.T) {
	for name, open := range map[string]string{
		"nothing":         ``,
		"another order":   `{"kind":"noted","v":1`,
		"a space":         `{"v": 1`,
		"a leading zero":  `{"v":01,"kind":"noted","seq":3,"at":"","saved":"","by":"","fact":{}`,
		"a minus":         `{"v":-1,"kind":"noted","seq":3,"at":"","saved":"","by":"","fact":{}`,
		"too many digits": `{"v":1,"kind":"noted","seq":1234567890123456789,"at":"","saved":"","by":"","fact":{}`,
		"no digits":       `{"v":1,"kind":"noted","seq":,"at":"","saved":"","by":"","fact":{}`,
		"an escape":       `{"v":1,"kind":"no\u0074ed","seq":3,"at":"","saved":"","by":"","fact":{}`,
		"a string open":   `{"v":1,"kind":"noted`,
		"broken text":     "{\"v\":1,\"kind\":\"\xff\",\"seq\":3,\"at\":\"\",\"saved\":\"\",\"by\":\"\",\"fact\":{}",
		"entry, then station": `{"v":1,"kind":"noted","seq":3,"at":"","saved":"","by":"","id":"e","station":"s",` +
			`"fact":{}`,
	} {
		t.Run(name, func(t *testing.T) {
			_, ok := scan([]byte(open))
			require.False(t, ok)
		})
	}
}
