package tui_test

import (
	"context"
	"fmt"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/store/memory"
	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/tuitest"
)

// cutOff is a journal by way of a board that goes: an append may have arrived there
// or not, and the answer does not come.
type cutOff struct {
	*memory.Journal
	gone, arrives bool
}

func (c *cutOff) Append(ctx context.Context, after cellar.Seq, recs ...cellar.Record) (cellar.Seq, error) {
	if !c.gone {
		return c.Journal.Append(ctx, after, recs...)
	}
	if c.arrives {
		c.arrives = false
		if _, err := c.Journal.Append(ctx, after, recs...); err != nil {
			return 0, err
		}
	}
	return 0, fmt.Errorf("append through the board: %w: no answer", cellar.ErrUnsure)
}

func notesOf(t *testing.T, j cellar.Journal) (n int) {
	t.Helper()
	require.NoError(t, j.Read(t.Context(), 1, func(r cellar.Record) error {
		if cellar.Kind(r.Fact) == "noted" {
			n++
		}
		return nil
	}))
	return n
}

// TestTrustRow11UnsureIsWrittenOnce: a board that goes in the middle of an entry made
// at another screen leaves it there once, whether it had arrived or not, and whoever
// else wrote meanwhile; nobody is told that it is not saved.
func TestTrustRow11UnsureIsWrittenOnce(t *testing.T) {
	for _, arrives := range []bool{true, false} {
		for _, other := range []bool{false, true} {
			t.Run(fmt.Sprintf("arrives %v, other %v", arrives, other), func(t *testing.T) {
				now := clock(t, "22:00")
				m, desk := bareHouse(t, now)
				c := &cutOff{Journal: m}
				d := tuitest.Sit(t, tui.Options{Journal: c, State: desk.State, Person: "MA", Station: "hall"}, now, 120,
					40)
				c.gone, c.arrives = true, arrives
				d.Press("101n").Words("smells of reduction").Press("<enter>")
				d.Shows("NOT KNOWN whether").Hides("NOT SAVED")
				d.Wait(time.Second).Shows("NOT KNOWN whether")
				n := 1
				if other {
					fresh, err := cellar.Replay(t.Context(), m)
					require.NoError(t, err)
					desk := cellar.Desk{Journal: m, State: fresh, Station: "desk"}
					_, err = desk.Write(t.Context(), &cellar.WriteNote{Head: cellar.Head{By: "NS"},
						Subject: subject.Bare("101"), Text: "was stirred"}, now)
					require.NoError(t, err)
					n = 2
				}
				c.gone = false
				d.Wait(time.Second).Hides("NOT KNOWN").Shows("saved: 101")
				d.Wait(time.Second)
				require.Equal(t, n, notesOf(t, m))
			})
		}
	}
}

// Who leaves while it is not known is warned once, and let go.
func TestUnsureKeepsNobody(t *testing.T) {
	for name, leave := range map[string]func(*tuitest.Desk){
		"by the key":    func(d *tuitest.Desk) { d.Press("q"); require.False(t, d.Quit); d.Press("q") },
		"by the system": func(d *tuitest.Desk) { d.Send(tui.Ended()) },
	} {
		t.Run(name, func(t *testing.T) {
			now := clock(t, "22:00")
			m, desk := bareHouse(t, now)
			c := &cutOff{Journal: m}
			d := tuitest.Sit(t, tui.Options{Journal: c, State: desk.State, Person: "MA", Station: "hall"}, now, 120, 40)
			c.gone = true
			d.Press("101n").Words("smells of reduction").Press("<enter>").Shows("NOT KNOWN whether")
			leave(d)
			require.True(t, d.Quit)
		})
	}
}

// Entries that wait behind one that cannot be written do not keep the program from
// ending, and none is left without a word.
func TestLeavingWhileNothingCanBeWritten(t *testing.T) {
	for _, hard := range []bool{false, true} {
		now := clock(t, "22:00")
		m, desk := bareHouse(t, now)
		d := tuitest.Sit(t, tui.Options{Journal: &refuses{m}, State: desk.State, Person: "MA", Station: "hall"}, now,
			120, 40)
		enter := func(text string) tea.Cmd {
			d.Press("101n").Words(text)
			_, cmd := d.Root.Update(tea.KeyMsg{Type: tea.KeyEnter})
			return cmd
		}
		flying := enter("smells of reduction")
		require.Nil(t, enter("is stirred"), "it waits")
		if hard {
			d.Send(tui.Ended())
			d.Run(flying)
			require.True(t, d.Quit)
			continue
		}
		d.Press("qq")
		require.False(t, d.Quit)
		d.Run(flying)
		require.False(t, d.Quit, "what is not saved is said before the end")
		d.Shows("NOT SAVED: the journal is damaged: another journal is open there now.").Press("<esc>qq")
		require.True(t, d.Quit)
	}
}

// refuses is a journal that writes nothing.
type refuses struct{ *memory.Journal }

func (*refuses) Append(context.Context, cellar.Seq, ...cellar.Record) (cellar.Seq, error) {
	return 0, &cellar.Doing{What: "append through the board",
		Err: fmt.Errorf("%w: another journal is open there now", cellar.ErrDamaged)}
}

// shorter is a journal that ends before what the screen has seen: an older copy was
// put in its place.
type shorter struct{ *memory.Journal }

func (*shorter) Append(context.Context, cellar.Seq, ...cellar.Record) (cellar.Seq, error) {
	return 0, cellar.ErrConflict
}

func TestAnOlderJournalInItsPlace(t *testing.T) {
	now := clock(t, "22:00")
	m, desk := bareHouse(t, now)
	d := tuitest.Sit(t, tui.Options{Journal: &shorter{m}, State: desk.State, Person: "MA", Station: "hall"}, now, 120,
		40)
	d.Press("101n").Words("is stirred").Press("<enter>").Shows("ends before what this board shows", "is stirred")
}
