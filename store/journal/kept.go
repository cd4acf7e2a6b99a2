package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"cellar.example/mustwatch/domain/cellar"
)

// What the records add up to can be kept in a file beside the journal, so that a start
// need not fold them all. It is no part of the truth. It is bound to the journal, to the
// record it goes up to with the hash of that, to the program that made it and to its own
// bytes; where any of that is in doubt it is as if there were none.

func keptPath(path string) string { return path + ".state" }

// keptHead is the first line of that file. The rest is the state.
type keptHead struct {
	Journal string     `json:"journal"`
	Seq     cellar.Seq `json:"seq"`
	Head    string     `json:"head"`
	Build   string     `json:"build"`
	Sum     string     `json:"sum"`
}

// Keep writes down what the records up to seq add up to, for a later start of the same
// build.
func (j *Journal) Keep(build string, seq cellar.Seq, state []byte) error {
	if j.readOnly || build == "" {
		return errors.New("keep the state beside the journal: it is open for reading only, or nobody knows by what")
	}
	err := j.keep(build, seq, state)
	if err != nil {
		return fmt.Errorf("keep the state beside the journal: %w", err)
	}
	return nil
}

func (j *Journal) keep(build string, seq cellar.Seq, state []byte) error {
	hash, err := j.hashAt(seq)
	if err != nil {
		return err
	}
	sum := sha256.Sum256(state)
	head, err := json.Marshal(keptHead{j.info.ID, seq, hexOf(hash), build, hex.EncodeToString(sum[:])})
	if err != nil {
		return err
	}
	path := keptPath(j.path)
	f, err := os.CreateTemp(filepath.Dir(path), ".state-*")
	if err != nil {
		return err
	}
	_, err = f.Write(append(head, '\n'))
	if err == nil {
		_, err = f.Write(state)
	}
	if err = errors.Join(err, f.Close()); err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		_ = os.Remove(f.Name())
	}
	return err
}

// Kept is what was kept last, and up to which record; ok is false where there is nothing
// of the kind that can be trusted.
func (j *Journal) Kept(build string) (state []byte, seq cellar.Seq, ok bool) {
	data, err := os.ReadFile(keptPath(j.path))
	line, state, found := bytes.Cut(data, []byte("\n"))
	var head keptHead
	if err != nil || !found || json.Unmarshal(line, &head) != nil || build == "" || head.Build != build ||
		head.Journal != j.info.ID {
		return nil, 0, false
	}
	if head.Seq == 0 || head.Seq > j.headNow().seq {
		return nil, 0, false
	}
	hash, err := j.hashAt(head.Seq)
	sum := sha256.Sum256(state)
	if err != nil || hexOf(hash) != head.Head || hex.EncodeToString(sum[:]) != head.Sum {
		return nil, 0, false
	}
	return state, head.Seq, true
}
