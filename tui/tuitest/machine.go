package tuitest

import (
	"time"

	"cellar.example/mustwatch/domain/clocks"
)

// Machine is a machine whose clocks a test moves.
type Machine struct{ clocks.Sample }

// NewMachine is a machine that has been awake for an hour and asleep for none.
func NewMachine(wall time.Time) *Machine {
	return &Machine{clocks.Sample{Wall: wall, Boot: time.Hour, Mono: time.Hour, BootID: "first start"}}
}

// Read looks at its clocks.
func (m *Machine) Read() clocks.Sample { return m.Sample }

// Pass lets time pass.
func (m *Machine) Pass(d time.Duration) {
	m.Wall, m.Boot, m.Mono = m.Wall.Add(d), m.Boot+d, m.Mono+d
}

// Sleep lets time pass with the machine asleep.
func (m *Machine) Sleep(d time.Duration) { m.Wall, m.Boot = m.Wall.Add(d), m.Boot+d }

// Step sets the wall clock, forward or back.
func (m *Machine) Step(d time.Duration) { m.Wall = m.Wall.Add(d) }

// Restart starts the machine again, with its wall clock at wall.
func (m *Machine) Restart(wall time.Time) {
	m.Sample = clocks.Sample{Wall: wall, BootID: m.BootID + " and another"}
}
