package codec

import (
	"errors"
	"testing"

	"cellar.example/mustwatch/domain/cellar"
)

// seeds are bodies from which a fuzzer finds its way into the envelope.
var seeds = []string{
	body(1, "noted", `{"text":"x"}`),
	body(2, "noted", `{"text":"x"}`),
	body(1, "dreamt", `{}`),
	`{"v":1,"kind":"noted","seq":18446744073709551616,"fact":{}}`,
	`{"v":1,"kind":"no\u0074ed","seq":1,"at":"0000-01-01T00:00:00Z","saved":"9999-12-31T23:59:59+14:00","by":"",` +
		`"fact":{"text":null}}`,
	`{"a":1}`,
	"",
}

// FuzzDecode gives the decoder bytes as a damaged disk might: whatever comes, it
// must say damaged, and never panic.
func FuzzDecode(f *testing.F) {
	sealed, _, err := Encode(sample(), Hash{})
	if err != nil {
		f.Fatal(err)
	}
	f.Add(sealed)
	for _, s := range seeds {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		_, _, err := Decode(data, Hash{1}) // nobody seals by chance
		if !isDamaged(err) {
			t.Fatalf("%q: %v", data, err)
		}
	})
}

// FuzzSealed puts a right seal under the bytes, so that the parsers behind it
// are reached, and holds the quick one against the slow one.
func FuzzSealed(f *testing.F) {
	for _, s := range seeds {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		sealed, hash, err := Seal(data, Hash{})
		if err != nil {
			return
		}
		quick, quickOK := scan(sealed[:len(sealed)-sealLen])
		plain, err := slow(sealed)
		if err == nil && quickOK && (quick.V != plain.V || quick.Seq != plain.Seq || quick.At != plain.At) {
			t.Fatalf("%q: %+v and %+v", data, quick, plain)
		}
		rec, got, err := Decode(sealed, Hash{})
		if err != nil {
			if !isDamaged(err) && !isNewer(err) {
				t.Fatalf("%q: %v", data, err)
			}
			return
		}
		if got != hash {
			t.Fatalf("%q: another hash", data)
		}
		if rec.At.Location() != rec.Written.Location() || rec.At.Nanosecond() != 0 {
			t.Fatalf("%q: %v", data, rec.At)
		}
		if y := rec.At.Year(); y < 0 || y > 9999 {
			return // an offset can push an instant out of the years that are written
		}
		if _, _, err := Encode(cellar.Record{Seq: rec.Seq, At: rec.At, Fact: rec.Fact}, Hash{}); err != nil {
			t.Fatalf("%q: what was read cannot be written: %v", data, err)
		}
	})
}

func FuzzCheck(f *testing.F) {
	for _, s := range seeds {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		sealed, _, err := Seal(data, Hash{})
		if err != nil {
			return
		}
		if entry, err := Check(sealed, Hash{}); err == nil && (entry.Seq == 0 || entry.Version < 1 ||
			entry.Kind == "") {
			t.Fatalf("%q: %+v", data, entry)
		}
	})
}

func isDamaged(err error) bool { return errors.Is(err, cellar.ErrDamaged) }
func isNewer(err error) bool   { return errors.Is(err, cellar.ErrNewer) }
