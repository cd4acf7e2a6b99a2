package clocks

import "time"

// Slack is how far clocks may part before it is said. A wall that is kept right
// by a network is moved by less.
const Slack = time.Minute

// FloorSlack is how far the wall may stand behind the last entry without a
// question: until it has caught up the last entry is what time it is.
const FloorSlack = 2 * time.Minute

// Sample is one look at the clocks of a machine. Boot and Mono count from
// instants of their own; only differences of them mean anything.
type Sample struct {
	Wall time.Time
	Boot time.Duration // with sleep; the same as Mono where BootID is ""
	Mono time.Duration // without sleep
	// BootID names one start of the machine. It is empty where the machine has no
	// clock that counts its sleep.
	BootID string
}

// sees reports whether the time slept can be told from a wall that was set.
func (s Sample) sees() bool { return s.BootID != "" }

// Gap is how the clocks parted between two samples.
type Gap struct {
	Slept   time.Duration // the machine stood still
	Stepped time.Duration // the wall was set, forward or back
}

// Between compares two samples of one machine, the earlier one first. Of two
// different starts of a machine nothing can be told, and the gap is zero. Where
// BootID is empty a sleep looks like a step forward.
func Between(a, b Sample) Gap {
	if a.BootID != b.BootID {
		return Gap{}
	}
	boot := b.Boot - a.Boot
	return Gap{Slept: boot - (b.Mono - a.Mono), Stepped: b.Wall.Sub(a.Wall) - boot}
}

// Anchor ties the house's time to a machine at one instant, so that a later start
// can tell how much time has passed whatever became of the wall.
type Anchor struct {
	House  time.Time     `json:"house,omitzero"`
	Wall   time.Time     `json:"wall,omitzero"`
	BootID string        `json:"boot_id,omitempty"`
	Boot   time.Duration `json:"boot_ns,omitzero"`
}

// Ahead is how far the wall stood ahead of the house, negative when behind.
func (a Anchor) Ahead() time.Duration { return a.Wall.Sub(a.House) }

// Kind says what happened to the clocks.
type Kind int

// What may happen.
const (
	Slept   Kind = iota // the machine slept
	Stepped             // the wall was set
	Unclear             // one of both: the machine does not count its sleep
	Stood               // the machine ran on and the program did not
)

// Event is something that happened to the clocks.
type Event struct {
	Kind Kind
	By   time.Duration // of a step: positive forward
	// From and To are house time for a sleep, and what the wall said before and
	// after for a step.
	From, To time.Time
	At       time.Time // house time at which it was noticed
	Away     bool      // it happened while no board ran
}

// Doubt is why a person is asked for the time.
type Doubt int

// The doubts.
const (
	Sure    Doubt = iota
	Parted        // the wall was set; the house goes by elapsed time
	Restart       // the wall had been set before the machine was started again
	Lost          // the wall stands before the last entry; nobody knows the time
)

// Question is what a person is to say.
type Question struct {
	Doubt Doubt
	House time.Time // what the house goes by
	Other time.Time // the other reading: of the wall, or of what was known before a restart
	Since time.Time // house time at which it came up
}

func abs(d time.Duration) time.Duration { return max(d, -d) }
