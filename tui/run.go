package tui

import (
	"context"
	"fmt"
	"io"
	"os"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
)

// Run shows the board until the person ends it or ctx does. The journal is
// closed by the caller, afterwards.
func Run(ctx context.Context, o Options) error {
	if o.In == nil {
		o.In = os.Stdin
	}
	if o.Out == nil {
		o.Out = os.Stdout
	}
	root := NewRoot(o, theme.New(renderer(o.Out), mode(o.Light)))
	in := &keyboard{File: o.In}
	end := []tea.ProgramOption{tea.WithAltScreen(), tea.WithInput(in), tea.WithOutput(o.Out)}
	if o.NoScreen {
		root.beat.muted = true // there is nobody to hear it
		end = []tea.ProgramOption{tea.WithoutRenderer(), tea.WithInput(nil), tea.WithOutput(io.Discard)}
	}
	p := tea.NewProgram(root, append(end, tea.WithoutSignalHandler())...)
	in.dropped = func(signs int) { p.Send(burstMsg{signs}) }
	over := make(chan struct{})
	defer close(over)
	go func() { // a signal asks as a person does, so that what is being written is waited for
		select {
		case <-ctx.Done():
			p.Send(endMsg{})
		case <-over:
		}
	}()
	if o.Joined != nil && o.Joined.Taken != nil {
		go awaitTakeover(o.Joined, p, over)
	}
	if o.Follow && o.Journal != nil {
		ctx, stop := context.WithCancel(ctx)
		defer stop()
		if err := follow(ctx, o.Journal, root.state.Seq+1, p); err != nil {
			return err
		}
	}
	if _, err := p.Run(); err != nil {
		return fmt.Errorf("show the board: %w", err)
	}
	return nil
}

// renderer fits the terminal without asking it anything: a terminal that does
// not answer would stall the start.
func renderer(out io.Writer) *lipgloss.Renderer {
	r := lipgloss.NewRenderer(out)
	if os.Getenv("NO_COLOR") != "" {
		r.SetColorProfile(termenv.Ascii)
	}
	r.SetHasDarkBackground(true)
	return r
}

func mode(light bool) theme.Mode {
	if light {
		return theme.Light
	}
	return theme.Dark
}

// Print is the board as plain text of cols by rows, for pipes and paper.
func Print(s *cellar.State, now time.Time, cols, rows int, demo, ascii bool) string {
	return printed(Options{State: s, Demo: demo, Ascii: ascii, Now: func() time.Time { return now }}, cols, rows)
}

// PrintWall is Print for the wall.
func PrintWall(s *cellar.State, now time.Time, cols, rows int, demo, ascii bool) string {
	return printed(Options{State: s, Demo: demo, Ascii: ascii, Wall: true, Now: func() time.Time { return now }}, cols,
		rows)
}

func printed(o Options, cols, rows int) string {
	o.page = true
	r := lipgloss.NewRenderer(io.Discard)
	r.SetColorProfile(termenv.Ascii)
	root := NewRoot(o, theme.New(r, theme.Dark))
	root.box = layout.Box{W: max(cols, leastW), H: max(rows, leastH)}
	return root.View() + "\n"
}
