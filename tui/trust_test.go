package tui_test

import (
	"fmt"
	"io"
	"sort"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clocks"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/theme"
	"cellar.example/mustwatch/tui/tuitest"
)

// watched is the board with somebody beside it who writes down when each alarm
// first stood in a frame that was out.
type watched struct {
	*tui.Root
	frame  time.Duration // what it costs to bring one frame out
	raised map[string]lateness
	last   string
	drawn  time.Time
	fresh  bool
}

type lateness struct {
	due, shown time.Time
	what       string
}

func (l lateness) by() time.Duration { return l.shown.Sub(l.due) }

func (w *watched) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	_, cmd := w.Root.Update(msg)
	for _, c := range w.Root.State().Alarms(w.Root.Sight().Now) {
		w.fresh = w.fresh || w.raised[key(c)].shown.IsZero()
	}
	return w, cmd
}

func key(c *cellar.AlarmClock) string {
	at, _ := c.AlarmAt()
	return fmt.Sprint(c.ID, " ", at.Unix())
}

// View draws when something new is due, else once a minute: eight hours of frames
// would be eight hours of work.
func (w *watched) View() string {
	time.Sleep(w.frame)
	if now := time.Now(); w.fresh || now.Sub(w.drawn) >= time.Minute {
		w.last, w.drawn = w.Root.View(), now
	}
	if !w.fresh {
		return w.last
	}
	w.fresh = false
	for _, c := range w.Root.State().Alarms(w.Root.Sight().Now) {
		if at, _ := c.AlarmAt(); w.raised[key(c)].shown.IsZero() && strings.Contains(tuitest.StripANSI(w.last), "▲ ") {
			w.raised[key(c)] = lateness{at, time.Now(), c.Name()}
		}
	}
	return w.last
}

// eightHours runs the board as it is, with its own beat and its own loop, from
// 22:00 to 06:00 of the demo night: the night's lines come in at their times, and a
// clock of our own is set for every seventh minute or so, on an odd second. Time is
// the bubble's: it passes when nobody works.
func eightHours(t *testing.T, frame, beat time.Duration) (out []lateness) {
	t.Helper()
	begin := clock(t, "22:00")
	j, s := night(t, "22:00")
	script := nightFrom(t, begin)
	synctest.Test(t, func(t *testing.T) {
		time.Sleep(time.Until(begin) + 370*time.Millisecond) // the beat is not the wall's second
		started := time.Now()
		o := tui.Options{Journal: j, State: s, Person: "MA", Station: "test",
			Clocks: func() clocks.Sample {
				n := time.Since(started)
				return clocks.Sample{Wall: time.Now(), Boot: n, Mono: n, BootID: "bubble"}
			},
			Script: func(now time.Time) (due []cellar.Command) {
				for len(script) > 0 && !cellar.KnownAt(script[0], now).After(now) {
					due, script = append(due, script[0]), script[1:]
				}
				return due
			}}
		if beat != time.Second {
			o.Tick = func(_ time.Duration, f func(time.Time) tea.Msg) tea.Cmd { return tea.Tick(beat, f) }
		}
		for i := 1; ; i++ {
			due := begin.Add(time.Duration(i)*(6*time.Minute+53*time.Second) +
				time.Duration(i*137%1000)*time.Millisecond).Truncate(time.Second)
			if due.After(begin.Add(8*time.Hour - time.Minute)) {
				break
			}
			c := &cellar.SetClock{Head: cellar.Head{By: "MA"}, Subject: subject.Bare(fmt.Sprint("round ", i)),
				Verb: "look", Due: due}
			facts, err := cellar.Decide(s, c, begin)
			require.NoError(t, err)
			recs := cellar.Records(c, facts, begin, "test")
			seq, err := j.Append(t.Context(), s.Seq, recs...)
			require.NoError(t, err)
			for k := range recs {
				recs[k].Seq = seq - cellar.Seq(len(recs)-1-k)
				cellar.Apply(s, recs[k])
			}
		}
		r := lipgloss.NewRenderer(io.Discard)
		r.SetColorProfile(termenv.Ascii)
		w := &watched{Root: tui.NewRoot(o, theme.New(r, theme.Dark)), frame: frame, raised: map[string]lateness{}}
		for _, c := range s.Alarms(begin) { // they were due before anybody looked
			at, _ := c.AlarmAt()
			w.raised[key(c)] = lateness{at, at, ""}
		}
		p := tea.NewProgram(w, tea.WithInput(nil), tea.WithOutput(io.Discard), tea.WithoutRenderer(),
			tea.WithoutSignalHandler())
		ended := make(chan error, 1)
		go func() {
			_, err := p.Run()
			ended <- err
		}()
		time.Sleep(8*time.Hour + beat)
		p.Quit()
		require.NoError(t, <-ended)
		time.Sleep(beat) // for the last beat, which nobody waits for any more
		require.Empty(t, script, "the whole night was played")
		for _, l := range w.raised {
			if l.what != "" {
				out = append(out, l)
			}
		}
	})
	return out
}

// nightFrom are the lines of the demo night that became known after an instant.
func nightFrom(t *testing.T, after time.Time) (out []cellar.Command) {
	t.Helper()
	for _, c := range nightLines(t) {
		if cellar.KnownAt(c, after).After(after) {
			out = append(out, c)
		}
	}
	return out
}

// TestTrustRow16EightHours: every alarm of eight hours is on the screen within two
// seconds, by itself and where a frame costs time. A beat that is too slow is found.
func TestTrustRow16EightHours(t *testing.T) {
	const most = 2 * time.Second
	zone, err := time.LoadLocation("Europe/Paris")
	require.NoError(t, err)
	worst := func(all []lateness) (n time.Duration) {
		for _, l := range all {
			n = max(n, l.by())
		}
		return n
	}
	for _, tt := range []struct {
		name        string
		frame, beat time.Duration
		holds       bool
	}{
		{name: "as it is", beat: time.Second, holds: true},
		{name: "a frame takes a tenth of a second", frame: 100 * time.Millisecond, beat: time.Second, holds: true},
		{name: "a beat of five seconds", beat: 5 * time.Second},
	} {
		t.Run(tt.name, func(t *testing.T) {
			all := eightHours(t, tt.frame, tt.beat)
			sort.Slice(all, func(i, j int) bool { return all[i].due.Before(all[j].due) })
			for _, l := range all {
				t.Logf("due %s  +%5d ms  %s", l.due.In(zone).Format("15:04:05"), l.by().Milliseconds(), l.what)
				require.False(t, l.shown.Before(l.due), "%s too early", l.what)
			}
			t.Logf("%d alarms, the latest by %s", len(all), worst(all))
			require.Greater(t, len(all), 75)
			require.Equal(t, tt.holds, worst(all) <= most, "the latest by %s", worst(all))
		})
	}
}
