package journal

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/codec"
)

// mark is the head as the file beside the journal keeps it: where the journal
// stood after a commit. It is sealed like a record, so that a mark which was
// itself damaged is not taken for proof against the journal.
//
// It is written over in place after each commit, in one write of one sector, and
// without a flush of its own. A rename for each commit, and a flush even more,
// would cost nearly half of a commit again, and neither would buy anything: a
// mark that a power cut left torn is known by its seal, and a mark that is torn,
// lost or some records behind is corrected at the next opening. It can not be
// ahead of the journal, for the commit was flushed before it.
type mark struct {
	Journal string     `json:"journal"` // Info.ID
	Seq     cellar.Seq `json:"seq"`
	Head    string     `json:"head"`  // hash of that record, or of Info for 0
	Written string     `json:"saved"` // when that record was written
}

// errRolledBack marks the kind of damage that has advice of its own.
var errRolledBack = errors.New("rolled back")

func headPath(path string) string { return path + ".head" }

// markLen is what the file beside the journal always has: one sector, so that a
// shorter text never leaves the end of a longer one behind it.
const markLen = 512

// writeMark writes the mark over the one before, or makes the file. With sync it
// is flushed, for the beginning and the end of a use.
func writeMark(path string, m mark, sync bool) error {
	body, err := json.Marshal(m)
	if err != nil {
		return err
	}
	sealed, _, err := codec.Seal(body, codec.Hash{})
	if err != nil {
		return err
	}
	if len(sealed) >= markLen {
		return fmt.Errorf("write the head beside the journal: the name %q is too long for it", m.Journal)
	}
	sector := bytes.Repeat([]byte{' '}, markLen)
	copy(sector, sealed)
	sector[markLen-1] = '\n'
	if !overwrite(headPath(path), sector, sync) {
		err = replaceFile(headPath(path), sector, sync)
	}
	if err != nil {
		return fmt.Errorf("write the head beside the journal: %w", err)
	}
	return nil
}

// readMark returns the mark, or ok false and why there is none to go by.
func readMark(path string) (m mark, ok bool, why string) {
	data, err := os.ReadFile(headPath(path))
	if errors.Is(err, fs.ErrNotExist) {
		return mark{}, false, "is missing"
	}
	if err != nil {
		return mark{}, false, "cannot be read (" + err.Error() + ")"
	}
	data = bytes.TrimRight(data, " \n")
	if _, err := codec.Unseal(data, codec.Hash{}); err != nil {
		return mark{}, false, "is damaged itself"
	}
	if err := json.Unmarshal(data, &m); err != nil {
		return mark{}, false, "is damaged itself"
	}
	return m, true, ""
}

// checkMark holds the journal against a mark. The hash at the mark's sequence is
// asked from the store, where the chain from there to the end is checked apart.
func (j *Journal) checkMark(m mark) error {
	if m.Journal != j.info.ID {
		return fmt.Errorf("%w: the head beside it (%s) belongs to another journal", cellar.ErrDamaged, headPath(j.path))
	}
	if m.Seq > j.head.seq {
		return fmt.Errorf("%w: %w: the head once stood at %d, the file ends at %d; "+
			"bring back the newest copy, or, to go on from this one and give up %d records, remove %s",
			cellar.ErrDamaged, errRolledBack, m.Seq, j.head.seq, m.Seq-j.head.seq, headPath(j.path))
	}
	hash, err := j.hashAt(m.Seq)
	if err != nil {
		return err
	}
	if hexOf(hash) != m.Head {
		return fmt.Errorf("%w: record %d is not the one the journal once ended with: another journal or another "+
			"past was put in its place",
			cellar.ErrDamaged, m.Seq)
	}
	return nil
}

// mark spells the present head.
func (j *Journal) mark() mark {
	return mark{Journal: j.info.ID, Seq: j.head.seq, Head: hexOf(j.head.hash), Written: stamp(j.head.written)}
}
