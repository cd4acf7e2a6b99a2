package cellar_test

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/domain/subject"
)

// Information and incidents are told in their own shift, and then only where they are
// pinned; promises, questions and warnings stay until they are done.
func TestNotesAgeWithTheirShift(t *testing.T) {
	h := openHouse(t)
	h.say(t, mirasShift)
	for i, kind := range []string{"info", "incident", "question", "warning"} {
		for _, pinned := range []bool{false, true} {
			h.say(t, fmt.Sprintf(`19:%02d NS {"do":"note","what":%q,"text":"%s pinned %v","pinned":%v}`, i, kind, kind,
				pinned, pinned))
		}
	}
	h.say(t, `19:30 NS {"do":"note","what":"promise","for":"OF","until":"2026-09-25T07:00:00+02:00",`+
		`"text":"yeast by seven"}`)
	says := func(clock string) string {
		x := handover.Sheet(h.s, at(clock), sheet.Mark{})
		return fmt.Sprint(x.Happened, x.NoHome, x.Promised, x.Back.Notes)
	}
	mine := says("02:05")
	for _, text := range []string{"info pinned false", "pinned: info pinned true", "incident pinned false",
		"incident pinned true", "question pinned false", "warning: warning pinned false", "yeast by seven"} {
		require.Contains(t, mine, text)
	}
	h.say(t, `02:06 MA {"do":"shift-end","to":"NS"}`, nilsShift)
	next := says("02:11")
	for _, text := range []string{"info pinned true", "incident pinned true", "question pinned false",
		"question pinned true", "warning pinned false", "yeast by seven"} {
		require.Contains(t, next, text)
	}
	require.NotContains(t, next, "info pinned false")
	require.NotContains(t, next, "incident pinned false")
	require.Len(t, h.s.StandingNotes(subject.Ref{}), 7)
	for _, n := range h.s.StandingNotes(subject.Ref{}) {
		h.say(t, fmt.Sprintf(`03:00 NS {"do":"note-done","note":%q}`, n.ID))
	}
	require.NotRegexp(t, "pinned true|pinned false|yeast", says("03:01"))
}

// Pinned notes go on into the next season, information that is not pinned does not.
func TestPinnedNotesGoOnIntoTheNextSeason(t *testing.T) {
	h := openHouse(t)
	h.say(t, `19:00 NS {"do":"note","text":"hose 4 drips"}`,
		`19:01 NS {"do":"note","text":"pump 2 is ours","pinned":true}`,
		`19:02 NS {"do":"note","what":"incident","text":"a lid fell"}`)
	said := ""
	for _, c := range h.s.Carried("MA", at("20:00"), cellar.Former{Season: "2026"}) {
		if n, ok := c.(*cellar.WriteNote); ok {
			said += fmt.Sprint(n.Text, " ", n.Pinned, ";")
		}
	}
	require.Equal(t, "pump 2 is ours true;", said)
}

// The sheet counts what is old and names the newest of it, on day 10 and on day 60: none is
// left out, and each is told that the board lists them.
func TestOldNotesAreCountedOnTheSheet(t *testing.T) {
	counted := regexp.MustCompile(`^(\d+) questions, the last of .*: press ; on the board`)
	for _, days := range []int{10, 60} {
		x := longHarvest()
		h := after(t, x, days)
		n, open, named := 0, 0, 0
		for _, note := range h.s.StandingNotes(subject.Ref{}) {
			if note.What == cellar.NoteQuestion {
				open++
			}
		}
		require.GreaterOrEqual(t, open, days-1)
		s := handover.Sheet(h.s, x.Opens.AddDate(0, 0, days), sheet.Mark{})
		for _, r := range s.NoHome {
			if m := counted.FindStringSubmatch(r.What); m != nil {
				n, _ = strconv.Atoi(m[1])
			} else if strings.HasPrefix(r.What, "keep the lees") {
				named++
			}
		}
		require.Equal(t, open, n+named)
		require.LessOrEqual(t, named, 6)
		require.Less(t, len(s.Next.Rows), 20)
		require.Less(t, len(s.Back.Notes), 10)
	}
}
