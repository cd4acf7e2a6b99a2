package journal

import (
	"fmt"
	"os"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
)

var _ cellar.Pulse = (*Pulse)(nil)

// Pulse keeps the last sign of life in a file beside the journal, as one line
// of text. It is not flushed: a power cut may take the last beats, which makes
// the time away look longer, never shorter.
type Pulse struct{ path string }

// NewPulse returns the pulse that belongs to the journal at path. The journal
// need not be open. Only the program that has it open may beat.
func NewPulse(path string) *Pulse { return &Pulse{path: path + ".pulse"} }

// Beat implements cellar.Pulse.
func (p *Pulse) Beat(at time.Time) error {
	if err := replaceFile(p.path, []byte(stamp(at)+"\n"), false); err != nil {
		return fmt.Errorf("write the sign of life: %w", err)
	}
	return nil
}

// Last implements cellar.Pulse. A file that is missing or makes no sense is no
// sign of life.
func (p *Pulse) Last() (time.Time, bool) {
	data, err := os.ReadFile(p.path)
	if err != nil {
		return time.Time{}, false
	}
	line, whole := strings.CutSuffix(string(data), "\n")
	at, err := time.Parse(time.RFC3339, line)
	if err != nil || !whole {
		return time.Time{}, false
	}
	return at.UTC(), true
}
