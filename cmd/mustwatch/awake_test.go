package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/cmd/mustwatch/machine"
	"cellar.example/mustwatch/tui"
)

// The machine is asked to stay awake once, unless a person said otherwise, and the
// board is told what it cannot do.
func TestTheBoardAsksToStayAwake(t *testing.T) {
	for _, tt := range []struct {
		name, env, why string
		flag           bool
		asked          int
		says           string
	}{
		{name: "held", asked: 1},
		{name: "no way", why: "This machine may fall asleep: no way.", asked: 1, says: "no way"},
		{name: "flag", flag: true, says: "can fall asleep, as you asked"},
		{name: "environment", env: "1", says: "can fall asleep, as you asked"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			asked := 0
			p := &program{
				getenv: func(string) string { return tt.env },
				awake:  func() (*machine.Awake, string) { asked++; return nil, tt.why },
			}
			p.desk.letSleep = tt.flag
			var o tui.Options
			p.stayAwake(&o)()
			require.Equal(t, tt.asked, asked)
			said := ""
			for _, s := range o.Machine() {
				said += s + "\n"
			}
			if tt.says == "" {
				assert.NotContains(t, said, "may fall asleep")
			} else {
				assert.Contains(t, said, tt.says)
			}
		})
	}
	var o tui.Options
	(&program{}).stayAwake(&o)()
	assert.Nil(t, o.Machine, "a program that was not told how leaves the machine alone")
}
