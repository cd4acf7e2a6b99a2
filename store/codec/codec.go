package codec

import (
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"cellar.example/mustwatch/domain/cellar"
)

// MaxRecord is the most bytes one record may take. No entry of a night comes
// near it; the bound keeps a runaway text, or a damaged length, from taking the
// memory of the board.
const MaxRecord = 1 << 20

// Entry is what can be said of a record without understanding its fact.
type Entry struct {
	Seq     cellar.Seq
	Version int
	Kind    string
	Hash    Hash
}

// codec holds what the bytes are read against: this program's schema version,
// the facts it knows, and the ways from older schemas to this one. It is a value
// so that tests can be a newer or an older program.
type codec struct {
	version  int
	newFact  func(kind string) (cellar.Fact, bool)
	upgrades upgrades
}

var standard = codec{
	version:  cellar.FactVersion,
	newFact:  cellar.NewFact,
	upgrades: upgrades{},
}

// Encode writes a record, sealed onto the hash of the record before. Instants
// are kept as UTC whole seconds, whatever zone or fraction they came with; text
// that is not UTF-8 is kept with the replacement character in its place.
//
// Encode proves that what it wrote can be read again. A fact that marshals but
// does not unmarshal would otherwise be found out at the next start, when the
// journal cannot be folded any more.
func Encode(rec cellar.Record, prev Hash) ([]byte, Hash, error) {
	return standard.encode(rec, prev)
}

// Decode reads a record and checks it against the hash of the record before.
//
// It wraps cellar.ErrNewer when the record is whole but this program does not
// know its kind or its schema version, and cellar.ErrDamaged for all else.
func Decode(sealed []byte, prev Hash) (cellar.Record, Hash, error) {
	return standard.decode(sealed, prev)
}

// Check does the part of Decode that needs no knowledge of the fact: a record of
// a newer program passes it. Whatever fails wraps cellar.ErrDamaged.
func Check(sealed []byte, prev Hash) (Entry, error) {
	_, entry, err := check(sealed, prev)
	return entry, err
}

func (c codec) encode(rec cellar.Record, prev Hash) ([]byte, Hash, error) {
	if rec.Fact == nil {
		return nil, Hash{}, errors.New("encode a record: it has no fact")
	}
	kind := cellar.Kind(rec.Fact)
	if rec.Seq == 0 {
		return nil, Hash{}, fmt.Errorf("encode %q: it has no sequence", kind)
	}
	fact, err := marshal(rec.Fact)
	if err != nil {
		return nil, Hash{}, fmt.Errorf("encode %q: %w", kind, err)
	}
	env := envelope{
		V: c.version, Kind: kind, Seq: uint64(rec.Seq),
		By: string(rec.By), Station: rec.Station, Entry: rec.Entry, Turn: uint64(rec.Turn), Fact: fact,
	}
	if env.At, err = instant(rec.At); err != nil {
		return nil, Hash{}, fmt.Errorf("encode %q: %w", kind, err)
	}
	if env.Written, err = instant(rec.Written); err != nil {
		return nil, Hash{}, fmt.Errorf("encode %q: %w", kind, err)
	}
	sealed, hash, err := Seal(env.appendTo(make([]byte, 0, 256+len(fact))), prev)
	if err != nil {
		return nil, Hash{}, fmt.Errorf("encode %q: %w", kind, err)
	}
	if len(sealed) > MaxRecord {
		return nil, Hash{}, fmt.Errorf("encode %q: %d bytes are more than a record may have (%d)", kind, len(sealed),
			MaxRecord)
	}
	if _, _, err := c.decode(sealed, prev); err != nil {
		// Not %w: nothing is damaged or newer, this entry is just not writable.
		return nil, Hash{}, fmt.Errorf("encode %q: it cannot be read again: %v", kind, err)
	}
	return sealed, hash, nil
}

func (c codec) decode(sealed []byte, prev Hash) (cellar.Record, Hash, error) {
	env, entry, err := check(sealed, prev)
	if err != nil {
		return cellar.Record{}, Hash{}, err
	}
	fact, known := c.newFact(env.Kind)
	if env.V > c.version || !known {
		return cellar.Record{}, Hash{}, fmt.Errorf("%w: record %d is of the kind %q, version %d; this program goes "+
			"up to version %d",
			cellar.ErrNewer, env.Seq, env.Kind, env.V, c.version)
	}
	rec := cellar.Record{
		Seq: entry.Seq, By: cellar.Initials(env.By), Station: env.Station, Entry: env.Entry, Turn: int(env.Turn),
		Fact: fact,
	}
	if err := c.fill(&rec, &env); err != nil {
		return cellar.Record{}, Hash{}, fmt.Errorf("%w: record %d (%q): %v", cellar.ErrDamaged, env.Seq, env.Kind, err)
	}
	return rec, entry.Hash, nil
}

// fill sets what has to be parsed: the instants and the fact itself.
func (c codec) fill(rec *cellar.Record, env *envelope) (err error) {
	if rec.At, err = time.Parse(time.RFC3339, env.At); err != nil {
		return err
	}
	if rec.Written = rec.At; env.Written != env.At { // most are written down at once
		if rec.Written, err = time.Parse(time.RFC3339, env.Written); err != nil {
			return err
		}
	}
	rec.At, rec.Written = whole(rec.At), whole(rec.Written)
	payload, err := c.upgrades.lift(env.Kind, env.V, c.version, env.Fact)
	if err != nil {
		return err
	}
	if len(payload) == 0 || payload[0] != '{' {
		return errors.New("the fact is no JSON object")
	}
	return json.Unmarshal(payload, rec.Fact)
}

// check reads the envelope of a record whose seal holds.
func check(sealed []byte, prev Hash) (envelope, Entry, error) {
	if len(sealed) > MaxRecord {
		return envelope{}, Entry{}, fmt.Errorf("%w: a record of %d bytes is longer than any may be", cellar.ErrDamaged,
			len(sealed))
	}
	hash, err := Unseal(sealed, prev)
	if err != nil {
		return envelope{}, Entry{}, fmt.Errorf("%w%s", err, selfNamed(sealed))
	}
	env, err := parse(sealed)
	if err != nil {
		return envelope{}, Entry{}, fmt.Errorf("%w: %v", cellar.ErrDamaged, err)
	}
	if env.V < 1 || env.Seq == 0 || env.Kind == "" {
		return envelope{}, Entry{},
			fmt.Errorf("%w: record %d of the kind %q, version %d, is none that was ever written",
				cellar.ErrDamaged, env.Seq, env.Kind, env.V)
	}
	return env, Entry{Seq: cellar.Seq(env.Seq), Version: env.V, Kind: env.Kind, Hash: hash}, nil
}

// selfNamed says which record a damaged one takes itself for, if that much can
// still be read. The word of a damaged record is a hint, no more.
func selfNamed(sealed []byte) string {
	env, err := parse(sealed)
	if err != nil || env.Seq == 0 {
		return ""
	}
	return fmt.Sprintf(" (it calls itself record %d)", env.Seq)
}

// instant spells a time as the journal keeps it.
func instant(t time.Time) (string, error) {
	t = whole(t)
	if y := t.Year(); y < 0 || y > 9999 {
		return "", fmt.Errorf("the year %d cannot be kept", y)
	}
	return t.Format(time.RFC3339), nil
}

// whole cuts an instant to the second and takes it to UTC; that also drops the
// monotonic reading, which would make equal instants compare as different.
func whole(t time.Time) time.Time { return t.UTC().Truncate(time.Second) }
