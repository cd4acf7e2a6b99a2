package main

import (
	"context"
	"errors"
	"io"
	"os"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"cellar.example/mustwatch/cmd/mustwatch/machine"
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/journal"
	"cellar.example/mustwatch/tui"
)

// desk is where the board stands and who is at it.
type desk struct {
	station      string
	person       string
	light, ascii bool
	wall         bool // it begins with the wall
	noScreen     bool // it is served to others only
	letSleep     bool
}

func (d *desk) flags(cmd *cobra.Command) {
	cmd.Flags().StringVar(&d.person, "by", "", "`initials` of the person at the board")
	cmd.Flags().StringVar(&d.station, "station", "",
		"`name` of this place (else MUSTWATCH_STATION, else the machine's)")
	cmd.Flags().BoolVar(&d.letSleep, "let-sleep", false, "let the machine fall asleep while the board is open (also "+
		"MUSTWATCH_LET_SLEEP=1)")
	cmd.Flags().BoolVar(&d.light, "light", false, "colours for a light screen")
	cmd.Flags().BoolVar(&d.ascii, "ascii", false, "only plain ASCII characters")
}

// page is how a face is printed.
type page struct {
	what       string // "", board, wall or sheet
	cols, rows int
}

func (g *page) flags(cmd *cobra.Command) {
	cmd.Flags().StringVar(&g.what, "print", "", "print the `face`, board, wall or sheet, as plain text and end")
	cmd.Flags().IntVar(&g.cols, "cols", 0, "columns of a printed board: `n`, else the terminal's, else 120")
	cmd.Flags().IntVar(&g.rows, "rows", 0, "rows of a printed board: `n`, else the terminal's, else 40")
}

// The size of a printed board when nothing says otherwise, and the sizes that
// can be asked for.
const (
	pageCols, pageRows = 120, 40
	mostCols, mostRows = 500, 500
)

func (g *page) check() error {
	switch {
	case g.what != "" && g.what != "board" && g.what != "wall" && g.what != "sheet":
		return usage("--print takes board, wall or sheet, not {typed:%q}.", g.what)
	case g.cols < 0 || g.cols > mostCols || g.rows < 0 || g.rows > mostRows:
		return usage("A board has up to {columns} columns and {rows} rows.", mostCols, mostRows)
	}
	return nil
}

// size is the size of a printed board.
func (p *program) size() (cols, rows int) {
	cols, rows = pageCols, pageRows
	if p.tty.screen {
		if w, h, err := term.GetSize(int(p.tty.out.Fd())); err == nil && w > 0 && h > 0 {
			cols, rows = min(w, mostCols), min(h, mostRows)
		}
	}
	if p.page.cols > 0 {
		cols = p.page.cols
	}
	if p.page.rows > 0 {
		rows = p.page.rows
	}
	return cols, rows
}

// printing reports whether a face is printed once rather than run: when it was
// asked for, and when there is no person at either end.
func (p *program) printing() bool { return p.page.what != "" || !p.tty.screen || !p.tty.keys }

func (p *program) boardCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "mustwatch",
		Short: "The board of a cellar at night",
		Long: `The board of a cellar at night: what is due, what can move, and the sheet for
those who come in the morning.

Without a command it opens the board on your journal. Where there is no screen
it prints the board once and ends. Look around first with mustwatch demo; set up
your own house with mustwatch init.

Exit codes: 0 when it is done, 1 when something was refused, 2 when it was
called wrongly, 3 when the journal is open elsewhere, 4 when it is damaged and
5 when a newer mustwatch saved to it.`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return p.board(cmd.Context()) },
	}
	p.desk.flags(cmd)
	p.page.flags(cmd)
	return cmd
}

func (p *program) wallCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "wall",
		Short: "Show what is due in digits that can be read from across the hall",
		Long: `Opens the board's journal with the wall: four to six things that are due, in
digits several rows high, and below them the holds, the standing caution, the
last gas reading, the time and a sign that the board is alive. Esc goes to the
board behind it, and b there comes back; ? says from how far it can be read.

Where a board has the journal open already, on this machine, this joins it as a
second screen; what is saved at one shows on both. When the board no longer
answers, the screen says STALE and for how long. Where there is no screen it
prints the wall once and ends.`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			p.desk.wall = true
			return p.board(cmd.Context())
		},
	}
	p.desk.flags(cmd)
	p.page.flags(cmd)
	return cmd
}

// board opens the journal in use and shows it.
func (p *program) board(ctx context.Context) error {
	if err := p.page.check(); err != nil {
		return err
	}
	path, err := p.path()
	if err != nil {
		return err
	}
	defer p.openLog(path)()
	if p.printing() {
		h, err := p.join(ctx, path, journal.Options{ReadOnly: true})
		if err != nil {
			return err
		}
		return h.letGo(p.print(h, p.clock(h)()))
	}
	if _, err := os.Stat(path); errors.Is(err, os.ErrNotExist) {
		o := p.options()
		o.Missing, o.Now, o.State = path, p.now, cellar.NewState()
		return runBoard(ctx, o)
	}
	h, err := p.join(ctx, path, journal.Options{Station: p.station()})
	if err != nil {
		return err
	}
	return h.letGo(p.show(ctx, h, p.clock(h), nil))
}

// show runs the board on a journal until the person leaves it.
func (p *program) show(ctx context.Context, h *held, now func() time.Time,
	script func(time.Time) []cellar.Command) error {
	p.warn(h)
	if who := cellar.Initials(p.desk.person); who != "" {
		if _, known := h.state.House.Person(who); !known {
			return usage("{person} is not on the list of people of this house.", who)
		}
	}
	o := p.options()
	o.Journal, o.State, o.Demo = h.Journal, h.state, h.rehearsal()
	if h.joined != nil {
		p.joins(h, &o)
	} else {
		o.Now, o.Script = now, script
		if !o.Demo { // a rehearsal has a clock of its own, and nobody depends on it
			o.Clocks = p.clocks
		}
		unserve, err := p.serve(h, &o)
		if err != nil {
			return err
		}
		defer unserve()
	}
	if !o.Demo {
		defer p.stayAwake(&o)()
	}
	o.Save = saveBeside(h.path, h.rehearsal() && p.journal == "")
	return explain(runBoard(ctx, o), h.path)
}

// stayAwake holds the machine awake until what it returns is called, and tells the
// board what the machine cannot do.
func (p *program) stayAwake(o *tui.Options) (letGo func()) {
	var held *machine.Awake
	var said []string
	switch {
	case p.awake == nil:
		return func() {}
	case p.desk.letSleep || p.getenv("MUSTWATCH_LET_SLEEP") != "":
		said = append(said, "This machine can fall asleep, as you asked. Nothing rings while it sleeps.")
	default:
		var why string
		if held, why = p.awake(); why != "" {
			said = append(said, why)
		}
	}
	if !machine.CountsSleep() {
		said = append(said, "This machine does not count its sleep: a sleep cannot be told from a clock that was "+
			"set forward, and both count as time that passed.")
	}
	o.Machine = func() []string {
		if why := held.Failed(); why != "" {
			return append([]string{why}, said...)
		}
		return said
	}
	return held.LetGo
}

// options are those of a board that come from the line, whatever it shows.
func (p *program) options() tui.Options {
	return tui.Options{
		Station: p.station(), Person: cellar.Initials(p.desk.person), Version: versionName(),
		Wall: p.desk.wall, NoScreen: p.desk.noScreen, Light: p.desk.light, Ascii: p.desk.ascii, In: p.tty.in,
		Out:     p.tty.out,
		Suspend: p.suspend,
	}
}

// print writes one face as plain text.
func (p *program) print(h *held, now time.Time) error {
	if p.page.what == "sheet" {
		_, err := io.WriteString(p.stdout, p.sheetText(h, now, false))
		return err
	}
	cols, rows := p.size()
	draw := printBoard
	if p.page.what == "wall" || p.page.what == "" && p.desk.wall {
		draw = printWall
	}
	_, err := io.WriteString(p.stdout, draw(h.state, now, cols, rows, h.rehearsal(), p.desk.ascii))
	return err
}

// station is the name of this place.
func (p *program) station() string {
	if p.desk.station != "" {
		return p.desk.station
	}
	if named := p.getenv("MUSTWATCH_STATION"); named != "" {
		return named
	}
	if name, err := os.Hostname(); err == nil {
		return name
	}
	return "desk"
}
