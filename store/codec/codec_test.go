package codec

import (
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
)

var evening = time.Date(2026, 10, 3, 19, 4, 5, 0, time.UTC)

func note(text string) *cellar.Noted {
	return &cellar.Noted{Note: cellar.Note{ID: "n1", Subject: subject.Bare("T12"), Text: text, What: cellar.NoteInfo}}
}

func sample() cellar.Record {
	return cellar.Record{
		Seq: 17, At: evening, Written: evening.Add(time.Minute), By: "KM", Station: "press hall", Entry: "paper 3",
		Fact: note("lees are thick"),
	}
}

// seal closes a body written by hand, as a program of another age would have.
func seal(t testing.TB, body string, prev Hash) []byte {
	t.Helper()
	sealed, _, err := Seal([]byte(body), prev)
	require.NoError(t, err)
	return sealed
}

func TestStoredForm(t *testing.T) {
	// The bytes are a promise to every later program: this text may be added to
	// by a new version, never altered for version 1.
	sealed, hash, err := Encode(sample(), Hash{1})
	require.NoError(t, err)
	head := `{"v":1,"kind":"noted","seq":17,"at":"2026-10-03T19:04:05Z","saved":"2026-10-03T19:05:05Z",` +
		`"by":"KM","station":"press hall","id":"paper 3","fact":`
	require.True(t, strings.HasPrefix(string(sealed), head), "%s", sealed)
	require.True(t, strings.HasSuffix(string(sealed), `,"hash":"`+hex.EncodeToString(hash[:])+`"}`), "%s", sealed)
	require.True(t, json.Valid(sealed))
	require.NotContains(t, string(sealed), "\n", "a record is one line")
}

func TestEmptyStationAndEntryAreLeftOut(t *testing.T) {
	rec := sample()
	rec.Station, rec.Entry = "", ""
	sealed, _, err := Encode(rec, Hash{})
	require.NoError(t, err)
	require.NotContains(t, string(sealed), `"station"`)
	require.NotContains(t, string(sealed), `"entry"`)
	got, _, err := Decode(sealed, Hash{})
	require.NoError(t, err)
	require.Equal(t, rec, got)
}

func TestWhatIsWrittenComesBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		text := rapid.String()
		second := rapid.Int64Range(-62135596800, 253402300799) // the years 1 to 9999
		zone := time.FixedZone("", rapid.IntRange(-14, 14).Draw(rt, "zone")*3600)
		rec := cellar.Record{
			Seq:     cellar.Seq(rapid.Uint64Range(1, 1<<63).Draw(rt, "seq")),
			At:      time.Unix(second.Draw(rt, "at"), rapid.Int64Range(0, 999_999_999).Draw(rt, "ns")).In(zone),
			Written: time.Unix(second.Draw(rt, "written"), 0).In(zone),
			By:      cellar.Initials(text.Draw(rt, "by")),
			Station: text.Draw(rt, "station"),
			Entry:   text.Draw(rt, "entry"),
			Fact:    note(text.Draw(rt, "text")),
		}
		var prev Hash
		copy(prev[:], rapid.SliceOfN(rapid.Byte(), 32, 32).Draw(rt, "prev"))

		sealed, hash, err := Encode(rec, prev)
		require.NoError(rt, err)
		got, again, err := Decode(sealed, prev)
		require.NoError(rt, err)
		require.Equal(rt, hash, again)
		want := rec
		want.At, want.Written = whole(rec.At), whole(rec.Written)
		require.Equal(rt, want, got)

		entry, err := Check(sealed, prev)
		require.NoError(rt, err)
		require.Equal(rt, Entry{Seq: rec.Seq, Version: cellar.FactVersion, Kind: "noted", Hash: hash}, entry)
	})
}

func TestEveryKindOfFactIsFound(t *testing.T) {
	for _, kind := range cellar.Kinds() {
		fact, ok := cellar.NewFact(kind)
		require.True(t, ok)
		rec := sample()
		rec.Fact = fact
		sealed, _, err := Encode(rec, Hash{})
		require.NoError(t, err, kind)
		got, _, err := Decode(sealed, Hash{})
		require.NoError(t, err, kind)
		require.IsType(t, fact, got.Fact)
	}
}

func TestBrokenTextIsReplaced(t *testing.T) {
	rec := sample()
	rec.Entry = "a\xffb"
	rec.Fact = note("c\xffd")
	sealed, _, err := Encode(rec, Hash{})
	require.NoError(t, err)
	got, _, err := Decode(sealed, Hash{})
	require.NoError(t, err)
	require.Equal(t, "a\ufffdb", got.Entry)
	require.Equal(t, "c\ufffdd", got.Fact.(*cellar.Noted).Text)
}

func TestEncodeRefuses(t *testing.T) {
	for name, spoil := range map[string]func(*cellar.Record){
		"no fact":               func(r *cellar.Record) { r.Fact = nil },
		"a fact that is nil":    func(r *cellar.Record) { r.Fact = (*cellar.Noted)(nil) },
		"no sequence":           func(r *cellar.Record) { r.Seq = 0 },
		"a year out of bounds":  func(r *cellar.Record) { r.At = time.Date(10000, 1, 1, 0, 0, 0, 0, time.UTC) },
		"a year before all":     func(r *cellar.Record) { r.Written = time.Date(-1, 1, 1, 0, 0, 0, 0, time.UTC) },
		"more than a record is": func(r *cellar.Record) { r.Fact = note(strings.Repeat("x", MaxRecord)) },
	} {
		t.Run(name, func(t *testing.T) {
			rec := sample()
			spoil(&rec)
			_, _, err := Encode(rec, Hash{})
			require.Error(t, err)
			require.NotErrorIs(t, err, cellar.ErrDamaged)
			require.NotErrorIs(t, err, cellar.ErrNewer)
		})
	}
}

func TestEncodeRefusesWhatCannotBeReadAgain(t *testing.T) {
	c := standard
	c.newFact = func(string) (cellar.Fact, bool) { return nil, false }
	_, _, err := c.encode(sample(), Hash{})
	require.ErrorContains(t, err, "cannot be read again")
	require.NotErrorIs(t, err, cellar.ErrNewer)
}

func TestEveryFlippedBitIsSeen(t *testing.T) {
	prev := Hash{9}
	sealed, _, err := Encode(sample(), prev)
	require.NoError(t, err)
	for at := range sealed {
		for bit := range 8 {
			bad := append([]byte(nil), sealed...)
			bad[at] ^= 1 << bit
			_, _, err := Decode(bad, prev)
			require.ErrorIs(t, err, cellar.ErrDamaged, "byte %d, bit %d", at, bit)
			require.NotErrorIs(t, err, cellar.ErrNewer)
			_, err = Check(bad, prev)
			require.ErrorIs(t, err, cellar.ErrDamaged)
		}
	}
}

func TestEveryCutIsSeen(t *testing.T) {
	sealed, _, err := Encode(sample(), Hash{})
	require.NoError(t, err)
	for n := range sealed {
		_, _, err := Decode(sealed[:n], Hash{})
		require.ErrorIs(t, err, cellar.ErrDamaged, "%d bytes", n)
	}
	_, _, err = Decode(append(sealed, ' '), Hash{})
	require.ErrorIs(t, err, cellar.ErrDamaged)
}

func TestDamageNamesTheSequence(t *testing.T) {
	sealed, _, err := Encode(sample(), Hash{})
	require.NoError(t, err)
	_, _, err = Decode(sealed, Hash{1})
	require.ErrorIs(t, err, cellar.ErrDamaged)
	require.ErrorContains(t, err, "record 17")
}

func TestAnotherChainIsDamage(t *testing.T) {
	_, first, err := Encode(sample(), Hash{})
	require.NoError(t, err)
	next := sample()
	next.Seq++
	sealed, _, err := Encode(next, first)
	require.NoError(t, err)
	_, _, err = Decode(sealed, first)
	require.NoError(t, err)
	_, _, err = Decode(sealed, Hash{})
	require.ErrorIs(t, err, cellar.ErrDamaged)
}

func body(v int, kind, fact string) string {
	return fmt.Sprintf(`{"v":%d,"kind":%q,"seq":3,"at":"2026-10-03T19:04:05Z","saved":"2026-10-03T19:04:05Z",`+
		`"by":"KM","fact":%s}`, v, kind, fact)
}

func TestNewer(t *testing.T) {
	for name, text := range map[string]string{
		"a higher version":          body(cellar.FactVersion+1, "noted", `{"text":"x"}`),
		"an unknown kind":           body(cellar.FactVersion, "dreamt", `{"text":"x"}`),
		"both":                      body(7, "dreamt", `{"text":"x"}`),
		"a fact unlike any we know": body(7, "noted", `[1,2]`),
		"an envelope with more in":  strings.Replace(body(7, "noted", `{}`), `"by"`, `"mood":"fair","by"`, 1),
	} {
		t.Run(name, func(t *testing.T) {
			sealed := seal(t, text, Hash{})
			_, _, err := Decode(sealed, Hash{})
			require.ErrorIs(t, err, cellar.ErrNewer)
			require.NotErrorIs(t, err, cellar.ErrDamaged)
			require.ErrorContains(t, err, "record 3")
			entry, err := Check(sealed, Hash{})
			require.NoError(t, err, "it is whole anyway")
			require.Equal(t, cellar.Seq(3), entry.Seq)
		})
	}
	_, _, err := Decode(seal(t, body(4, "dreamt", `{}`), Hash{}), Hash{})
	require.ErrorContains(t, err, `"dreamt", version 4`)
}

func TestSealedNonsenseIsDamage(t *testing.T) {
	for name, text := range map[string]string{
		"no envelope":             `{"a":1}`,
		"version 0":               body(0, "noted", `{}`),
		"version -1":              body(-1, "noted", `{}`),
		"no kind":                 body(1, "", `{}`),
		"sequence 0":              strings.Replace(body(1, "noted", `{}`), `"seq":3`, `"seq":0`, 1),
		"a sequence that is none": strings.Replace(body(1, "noted", `{}`), `"seq":3`, `"seq":"3"`, 1),
		"an instant that is none": strings.Replace(body(1, "noted", `{}`), `"at":"2026-10-03T19:04:05Z"`,
			`"at":"tonight"`, 1),
		"a written time of no kind": strings.Replace(body(1, "noted", `{}`), `"saved":"2026-10-03T19:04:05Z"`,
			`"saved":"x"`, 1),
		"no fact": `{"v":1,"kind":"noted","seq":3,"at":"2026-10-03T19:04:05Z",` +
			`"saved":"2026-10-03T19:04:05Z","by":"KM"}`,
		"a fact that is null":     body(1, "noted", `null`),
		"a fact that is a list":   body(1, "noted", `[]`),
		"a fact of another shape": body(1, "noted", `{"text":7}`),
		"a fact cut short":        body(1, "noted", `{"text":"x"`),
		"two facts":               body(1, "noted", `{"text":"x"}{}`),
	} {
		t.Run(name, func(t *testing.T) {
			_, _, err := Decode(seal(t, text, Hash{}), Hash{})
			require.ErrorIs(t, err, cellar.ErrDamaged)
		})
	}
}

func TestUpgradesStepByStep(t *testing.T) {
	rename := func(from, to string) upgrade {
		return func(fact json.RawMessage) (json.RawMessage, error) {
			return json.RawMessage(strings.Replace(string(fact), from, to, 1)), nil
		}
	}
	c := standard
	c.version = 4
	c.upgrades = upgrades{"noted": {
		1: rename(`"said"`, `"wrote"`),
		// 2 changed other kinds only
		3: rename(`"wrote"`, `"text"`),
	}}
	for v, fact := range map[int]string{1: `{"said":"x"}`, 2: `{"wrote":"x"}`, 3: `{"wrote":"x"}`, 4: `{"text":"x"}`} {
		rec, _, err := c.decode(seal(t, body(v, "noted", fact), Hash{}), Hash{})
		require.NoError(t, err, "version %d", v)
		require.Equal(t, "x", rec.Fact.(*cellar.Noted).Text, "version %d", v)
	}
	_, _, err := c.decode(seal(t, body(5, "noted", `{}`), Hash{}), Hash{})
	require.ErrorIs(t, err, cellar.ErrNewer)
}

func TestAnUpgradeThatFails(t *testing.T) {
	c := standard
	c.version = 2
	c.upgrades = upgrades{"noted": {1: func(json.RawMessage) (json.RawMessage, error) {
		return nil,
			errors.New("no such tank")
	}}}
	_, _, err := c.decode(seal(t, body(1, "noted", `{}`), Hash{}), Hash{})
	require.ErrorIs(t, err, cellar.ErrDamaged)
	require.ErrorContains(t, err, "upgrade from version 1: no such tank")
}

func TestSealWantsAnObject(t *testing.T) {
	for _, body := range []string{"", "{}", "[1,2,3,4]", `{"a":1`, `"a":123}`, "null"} {
		_, _, err := Seal([]byte(body), Hash{})
		require.Error(t, err, body)
	}
	body := []byte(`{"a":1}`)
	sealed, hash, err := Seal(body, Hash{})
	require.NoError(t, err)
	require.Equal(t, `{"a":1}`, string(body), "the body is not changed")
	got, err := Unseal(sealed, Hash{})
	require.NoError(t, err)
	require.Equal(t, hash, got)
	got, err = HashOf(sealed)
	require.NoError(t, err)
	require.Equal(t, hash, got)
}

func TestUpgradesAreNoneYet(t *testing.T) {
	// A step must never be added for the version that is being written now.
	for kind, steps := range standard.upgrades {
		for from := range steps {
			require.Less(t, from, cellar.FactVersion, kind)
		}
	}
}
