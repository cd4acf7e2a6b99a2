package journal

import (
	"encoding/json"
	"fmt"
	"os"
	"time"

	"cellar.example/mustwatch/domain/cellar"
)

// holder is who has the journal open for writing, told to whoever finds it
// locked. The lock itself is the system's: a holder left behind by a kill keeps
// nobody out.
type holder struct {
	Station string `json:"station"`
	Process int    `json:"process"`
	Since   string `json:"since"`
}

func holderPath(path string) string { return path + ".holder" }

// writeHolder is a courtesy: what fails here only makes a later text poorer.
func (j *Journal) writeHolder() {
	data, err := json.Marshal(holder{Station: j.station, Process: os.Getpid(), Since: stamp(time.Now())})
	if err == nil {
		_ = replaceFile(holderPath(j.path), append(data, '\n'), false)
	}
}

func (j *Journal) removeHolder() { _ = os.Remove(holderPath(j.path)) }

// lockedBy says that the journal is locked and, as far as is known, by whom.
func lockedBy(path string) error {
	var h holder
	data, err := os.ReadFile(holderPath(path))
	if err != nil || json.Unmarshal(data, &h) != nil {
		return fmt.Errorf("%w, which is reading it or does not say who it is", cellar.ErrLocked)
	}
	station := "a station without a name"
	if h.Station != "" {
		station = fmt.Sprintf("station %q", h.Station)
	}
	return fmt.Errorf("%w: last opened for writing at %s, process %d, since %s", cellar.ErrLocked, station, h.Process,
		sinceWords(h.Since))
}

// sinceWords puts the stamp of the holder on the clock of this machine: the store
// does not know the zone of the house.
func sinceWords(stamp string) string {
	t, err := time.Parse(time.RFC3339, stamp)
	if err != nil {
		return "a time that cannot be read"
	}
	return t.Local().Format("Mon 2 Jan 15:04 MST")
}
