package keys

import (
	"slices"

	"cellar.example/mustwatch/tui/intent"
)

// The headings of the help overlay that more than one table uses.
const (
	GroupEntries = "Entries"
	GroupMoving  = "Moving"
	GroupLooking = "Looking"
	GroupProgram = "Program"
)

// Common are the keys that mean the same on every screen. Arrows and the letters
// h j k l are equal, so that either hand can hold the torch; nothing needs two
// keys at once. A screen's own table comes first and may not reuse these keys.
func Common() Table {
	return Table{
		{Keys: []string{"up", "k"}, Help: "up", Group: GroupMoving, Intent: intent.Move{DY: -1}},
		{Keys: []string{"down", "j"}, Help: "down", Group: GroupMoving, Intent: intent.Move{DY: 1}},
		{Keys: []string{"left", "h"}, Help: "left", Group: GroupMoving, Intent: intent.Move{DX: -1}},
		{Keys: []string{"right", "l"}, Help: "right", Group: GroupMoving, Intent: intent.Move{DX: 1}},
		{Keys: []string{"pgup"}, Help: "a page up", Group: GroupMoving, Intent: intent.PageMove{Dir: -1}},
		{Keys: []string{"pgdown"}, Help: "a page down", Group: GroupMoving, Intent: intent.PageMove{Dir: 1}},
		{Keys: []string{"home"}, Help: "to the top", Group: GroupMoving, Intent: intent.First{}},
		{Keys: []string{"end"}, Help: "to the bottom", Group: GroupMoving, Intent: intent.Last{}},
		{Keys: []string{"enter"}, Help: "open what is under the cursor", Group: GroupMoving, Intent: intent.Open{}},
		{Keys: []string{"esc"}, Help: "back one level, nothing typed is lost", Group: GroupMoving,
			Intent: intent.Back{}},
		{Keys: []string{"/"}, Short: "find", Help: "find a tank, press, load or lot; in the log, or to correct",
			Group: GroupLooking, Intent: intent.Find{}},
		{Keys: []string{"!"}, Help: "set the right time when the machine's clock is wrong", Group: GroupProgram,
			Intent: intent.OpenForm{Form: intent.FormTime}},
		{Keys: []string{"?"}, Short: "all keys", Help: "all keys", Group: GroupProgram, Intent: intent.Help{}},
		{Keys: []string{"q", "ctrl+c"}, Label: "q", Help: "end the program when everything is saved",
			Group: GroupProgram, Intent: intent.Quit{}},
		{Keys: []string{"ctrl+z"}, Help: "suspend this screen; fg in the shell brings it back", Group: GroupProgram,
			Intent: intent.Suspend{}},
		{Keys: []string{"b"}, Help: "the wall: large letters, to read from far away", Group: GroupLooking,
			Intent: intent.WallView{}},
		{Keys: []string{"-"}, Help: "light or dark background", Group: GroupProgram, Intent: intent.ToggleLight{}},
		{Keys: []string{","}, Help: "mute the bell, or switch it on", Group: GroupProgram, Intent: intent.ToggleBell{}},
	}
}

// Numbers is the binding by which a vessel's number is typed to jump to it: its
// figures, and the letters some numbers have. Small letters are keys too: the root tells
// the two apart.
func Numbers() Binding {
	return Binding{
		Keys:   slices.Concat(Range('0', '9'), Range('A', 'Z')),
		Label:  "0-9 A-Z",
		Help:   "type a number to jump to that tank or press",
		Group:  GroupMoving,
		Intent: intent.Number{},
	}
}
