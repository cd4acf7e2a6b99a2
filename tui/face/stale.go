package face

import (
	"fmt"
	"time"
)

// Stale is a screen that no longer hears of the board it has joined. Zero while it
// does, and on that board itself.
type Stale struct {
	For     time.Duration
	Heard   time.Time // the house's time at the last beat
	Station string    // where the board stands
}

// Age is for how long nothing was heard; seconds are told while they count.
func (s Stale) Age() string {
	if s.For < 2*time.Minute {
		return fmt.Sprintf("%d s", int(s.For.Seconds()))
	}
	return Length(s.For)
}
