package tuitest

import (
	"context"
	"io"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
)

// Desk is a person at the board, without a terminal and without waiting: keys
// go in, commands run at once, and every frame is held against its box.
type Desk struct {
	T       *testing.T
	Root    *tui.Root
	Now     time.Time
	Box     layout.Box
	Quit    bool
	Machine *Machine // nil: the board goes by Now
	strokes int
	journal cellar.Journal
}

// SitAt opens the board on a machine whose clocks the test moves.
func SitAt(t *testing.T, o tui.Options, m *Machine, cols, rows int) *Desk {
	t.Helper()
	o.Clocks = m.Read
	d := Sit(t, o, m.Wall, cols, rows)
	d.Machine = m
	return d
}

// Sit opens the board. o.Now is replaced by the desk's own clock, which stands
// at now until Wait moves it.
func Sit(t *testing.T, o tui.Options, now time.Time, cols, rows int) *Desk {
	t.Helper()
	d := &Desk{T: t, Now: now, Box: layout.Box{W: cols, H: rows}, journal: o.Journal}
	o.Now = func() time.Time { return d.Now }
	o.Tick = func(time.Duration, func(time.Time) tea.Msg) tea.Cmd { return nil }
	d.Root = tui.NewRoot(o, plain())
	d.Send(tea.WindowSizeMsg{Width: cols, Height: rows})
	return d
}

// plain is a theme without colours.
func plain() theme.Theme {
	r := lipgloss.NewRenderer(io.Discard)
	r.SetColorProfile(termenv.Ascii)
	return theme.New(r, theme.Dark)
}

// Send hands the program one message, runs what follows to its end, and checks
// the frame.
func (d *Desk) Send(msg tea.Msg) {
	d.T.Helper()
	_, cmd := d.Root.Update(msg)
	d.frame()
	d.Run(cmd)
}

// Run carries a command out, and what follows from it.
func (d *Desk) Run(cmd tea.Cmd) {
	d.T.Helper()
	if cmd == nil {
		return
	}
	switch msg := cmd().(type) {
	case nil:
	case tea.BatchMsg:
		for _, c := range msg {
			d.Run(c)
		}
	case tea.QuitMsg:
		d.Quit = true
	default:
		d.Send(msg)
	}
}

func (d *Desk) frame() {
	d.T.Helper()
	if err := layout.Check(d.Root.View(), d.Box); err != nil {
		d.T.Fatalf("the frame is not its box: %v", err)
	}
}

// Press types a script of keys, as Keys reads it, and counts the strokes.
func (d *Desk) Press(script string) *Desk {
	d.T.Helper()
	for _, k := range Keys(d.T, script) {
		d.strokes++
		d.Send(k)
	}
	d.Send(d.Root.Rested()) // whoever looks at the screen lets the keys be
	return d
}

// Words types free words, which no budget counts.
func (d *Desk) Words(text string) *Desk {
	d.T.Helper()
	n := d.strokes
	for _, r := range text {
		d.Send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
	}
	d.strokes = n
	return d
}

// Strokes are the keys pressed since the last call.
func (d *Desk) Strokes() int {
	n := d.strokes
	d.strokes = 0
	return n
}

// Wait lets time pass, with one beat at its end.
func (d *Desk) Wait(n time.Duration) *Desk {
	d.T.Helper()
	d.Now = d.Now.Add(n)
	if d.Machine != nil {
		d.Machine.Pass(n)
	}
	d.Send(d.Root.Beat())
	return d
}

// Resize gives the window another size.
func (d *Desk) Resize(cols, rows int) *Desk {
	d.T.Helper()
	d.Box = layout.Box{W: cols, H: rows}
	d.Send(tea.WindowSizeMsg{Width: cols, Height: rows})
	return d
}

// Screen is what stands on the screen, without trailing blanks.
func (d *Desk) Screen() string {
	return strings.Join(Trim(strings.Split(StripANSI(d.Root.View()), "\n")), "\n")
}

// Shows fails unless the screen contains every text.
func (d *Desk) Shows(texts ...string) *Desk {
	d.T.Helper()
	d.look(true, texts)
	return d
}

// Hides fails if the screen contains one of the texts.
func (d *Desk) Hides(texts ...string) *Desk {
	d.T.Helper()
	d.look(false, texts)
	return d
}

func (d *Desk) look(want bool, texts []string) {
	d.T.Helper()
	screen := d.Screen()
	for _, x := range texts {
		if strings.Contains(screen, x) != want {
			d.T.Fatalf("the screen shows %q: %v, want %v\n%s", x, !want, want, screen)
		}
	}
}

// State is the state behind the screen.
func (d *Desk) State() *cellar.State { return d.Root.State() }

// Counted sets the number of strokes that Strokes will give next, for a task
// whose counted part is followed by looking around.
func (d *Desk) Counted(n int) { d.strokes = n }

// Append puts records into the journal and the state behind the board's back,
// as another program's entries are.
func (d *Desk) Append(recs []cellar.Record) {
	d.T.Helper()
	s := d.Root.State()
	seq, err := d.journal.Append(context.Background(), s.Seq, recs...)
	if err != nil {
		d.T.Fatal(err)
	}
	for i := range recs {
		recs[i].Seq = seq - cellar.Seq(len(recs)-1-i)
		cellar.Apply(s, recs[i])
	}
}
