package cellar_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/domain/subject"
)

const riesling0502 = `19:00 MA {"do":"book","load":"0502","variety":"Riesling","booked":"2026-09-24T23:00:00+02:00"}`

func (h *house) receives(load string, now time.Time) bool {
	for _, d := range h.s.Next(now) {
		if d.Subject == subject.Of(subject.Load, load) && d.Verb == "load due" {
			return true
		}
	}
	return false
}

// A booking could not be ended: it stood as overdue for the rest of the season.
func TestABookingIsCancelledAndItsNumberBookedAgain(t *testing.T) {
	h := openHouse(t)
	h.say(t, riesling0502)
	require.True(t, h.receives("0502", h.now))
	h.refused(t, `19:10 MA {"do":"book-cancel","load":"0502","reason":" "}`, "reason", "does not come")
	h.refused(t, `19:10 MA {"do":"book-cancel","load":"0599","reason":"rain"}`, "load", "no load")
	h.say(t, `19:10 MA {"do":"book-cancel","load":"0502","reason":"rain"}`)
	require.False(t, h.receives("0502", h.now))
	_, known := h.s.Load("0502")
	require.False(t, known)
	var said string
	for _, e := range h.s.EventsOf(subject.Of(subject.Load, "0502")) {
		said += e.Text + "\n"
	}
	require.Contains(t, said, "booking cancelled: rain", "the log keeps it")
	h.refused(t, `19:20 MA {"do":"book-cancel","load":"0502","reason":"rain"}`, "load", "no load")
	h.say(t, `19:30 MA {"do":"book","load":"0502","variety":"Muscat","booked":"2026-09-24T22:00:00+02:00"}`)
	l, known := h.s.Load("0502")
	require.True(t, known)
	require.Equal(t, "Muscat", l.Variety)
	require.True(t, h.receives("0502", h.now))
}

// What a person does with a load ends its booking, and a load that came is not cancelled.
func TestWhatIsDoneWithALoadEndsItsBooking(t *testing.T) {
	h := openHouse(t)
	h.say(t, riesling0502, `20:00 NS {"do":"load","load":"0502","gross":"9000 kg","tare":"4000 kg","brix":20}`)
	require.False(t, h.receives("0502", h.now))
	h.refused(t, `20:30 MA {"do":"book-cancel","load":"0502","reason":"rain"}`, "load", "already came at Thu 20:00")
}

// A load that came after all, saved late or not, stands with its ticket.
func TestALoadThatComesAfterItWasCancelled(t *testing.T) {
	h := openHouse(t)
	h.say(t, riesling0502, `19:10 MA {"do":"book-cancel","load":"0502","reason":"rain"}`,
		`20:00 NS {"do":"load","load":"0502","variety":"Riesling","gross":"9000 kg","tare":"4000 kg","brix":20,`+
			`"answers":[{"rule":"D23","by":"NS"}]}`)
	l, ok := h.s.Load("0502")
	require.True(t, ok)
	require.Equal(t, cellar.LoadWaiting, l.State)
}

// After a day a load that never came is no load of tonight any more.
func TestABookingGrowsOldAfterADay(t *testing.T) {
	h := openHouse(t)
	h.say(t, riesling0502)
	l, _ := h.s.Load("0502")
	require.False(t, l.Overdue(l.Booked.Add(24*time.Hour)))
	require.True(t, l.Overdue(l.Booked.Add(24*time.Hour+time.Minute)))
	yard := func(now time.Time) string { return flat(handover.Sheet(h.s, now, sheet.Mark{}).Yard) }
	require.Contains(t, yard(l.Booked.Add(time.Hour)), "0502")
	require.NotContains(t, yard(l.Booked.Add(25*time.Hour)), "0502")
	require.Contains(t, yard(l.Booked.Add(25*time.Hour)), " booked, not arrived for a day or more")
}
