package tui_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/room"
)

// TestJuiceWithoutATankStandsOnTheBoard: at 120 columns and 40 rows, whatever is due.
func TestJuiceWithoutATankStandsOnTheBoard(t *testing.T) {
	sit(t, "05:55", 120, 40).Shows("NO TANK YET", "P1 pressings 28.6 hL: no", "P2 pressings 22.4 hL: no")
	listed := 0
	for _, at := range []string{"18:30", "19:40", "20:50", "21:30", "22:30", "23:20", "23:55", "00:20", "00:55",
		"01:30", "01:55", "02:10", "02:50", "03:20", "03:45", "04:20", "04:54", "05:30", "05:50", "05:55", "06:00"} {
		_, s := night(t, at)
		d := sit(t, at, 120, 40)
		if len(room.Without(s)) == 0 {
			d.Hides("NO TANK YET")
		}
		for _, x := range room.Without(s) {
			brief := room.Brief(s, x) // it may go on in a second line
			head, _, _ := strings.Cut(brief, ":")
			head, _, _ = strings.Cut(head, " to ")
			d.Shows(head)
			listed++
		}
	}
	require.Greater(t, listed, 10)
}

// TestTheLoadFormNamesOnlyTanksThatMayTakeIt: it asks what the board and the sheet ask.
// 404 holds yeast, 405 and 406 ferment, 407 holds other grapes and 503 is named for them.
func TestTheLoadFormNamesOnlyTanksThatMayTakeIt(t *testing.T) {
	d := sit(t, "02:10", 120, 40)
	d.Press("0417g32900<tab>12500").Shows("free run · fits 101, 105",
		"pressings about 28.6 hL · room: 401 9.0 hL, 403 28.4 hL (same grapes), K3 9.8 hL").Press("<esc>")
	d = sit(t, "05:15", 120, 40)
	d.Press("0419g22120<tab>12520").Shows("free run · fits 105", "pressings about 13.4 hL · room: K3 9.8 hL")
}
