package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/journal"
	"cellar.example/mustwatch/store/memory"
)

// demoAt is the moment at which the demo begins unless another is named: the
// night is in full swing and something is overdue.
const demoAt = "02:10"

// maxSpeed is how much faster than life the night may go: all of it in 12 s.
const maxSpeed = 3600

// rehearse is what the demo was asked for.
type rehearse struct {
	at    string
	night string // a file, "" for the made-up night
	speed float64
}

func (p *program) demoCommand() *cobra.Command {
	var r rehearse
	cmd := &cobra.Command{
		Use:   "demo",
		Short: "Look around in a made-up night",
		Long: `Plays a made-up night into a rehearsal journal up to a moment, then hands you
the board; the clock runs on from there. Nothing of it touches your own journal.

Without --journal the rehearsal is thrown away at the end. With it, it is kept,
and taken up again where it was left, or at a later --at.

With --night it plays a night of yours: last night for practice, or what would be
if. The file has the lines that enter takes (enter --help), begins with
{"do":"rehearse","at":…,"title":…}, and is played in its order; a line becomes
known at its "at", or at its "saved" where it was saved late. Every line is tried
before anything is made: one that cannot be read, or that a rule stops, is named
with its number and its id, and the exit code is 1. Without --at all of it is
played. A file that has changed since needs a journal of its own.

With --speed the night goes on by itself, that many times as fast as life, until
you save something.`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return p.demo(cmd.Context(), r, cmd.Flags().Changed("speed"))
		},
	}
	cmd.Flags().StringVar(&r.at, "at", "", "`moment` of the night, such as 22:20 (else "+demoAt+
		", or the end of a --night)")
	cmd.Flags().StringVar(&r.night, "night", "", "play the night in this `file` instead")
	cmd.Flags().Float64Var(&r.speed, "speed", 1, "let the night go on, `n` times as fast as life")
	cmd.Flags().BoolVar(&p.desk.wall, "wall", false, "begin with the wall, to be read from far away")
	p.desk.flags(cmd)
	p.page.flags(cmd)
	return cmd
}

// demo plays the night and shows it.
func (p *program) demo(ctx context.Context, r rehearse, goesOn bool) error {
	if err := p.page.check(); err != nil {
		return err
	}
	if r.speed <= 0 || r.speed > maxSpeed || r.speed != r.speed {
		return usage("--speed takes a number above 0 and up to {most}.", maxSpeed)
	}
	n, err := p.nightOf(ctx, r.night)
	if err != nil {
		return err
	}
	if r.at != "" { // before a journal is made
		if _, err := n.moment(r.at); err != nil {
			return err
		}
	}
	h, done, err := p.rehearsalFor(ctx, n)
	if err != nil {
		return err
	}
	defer done()
	defer p.openLog(h.path)()
	fresh := h.state.Seq == 0
	start, rest, err := p.play(ctx, h, n, r.at)
	if err != nil {
		return h.letGo(err)
	}
	if fresh { // the board of the night was looked at until now
		_ = journal.NewPulse(h.path).Beat(start)
	}
	if p.printing() {
		return h.letGo(p.print(h, start))
	}
	p.speed = r.speed
	var next func(time.Time) []cellar.Command
	if goesOn {
		next = script(rest)
	}
	return h.letGo(p.show(ctx, h, runOn(p.now, start, r.speed), next))
}

// rehearsalFor opens the journal of the demo: the one named with --journal, made
// if it is not there, else one in a folder of its own that done removes. The
// environment is not asked: it names the journal of a real cellar.
func (p *program) rehearsalFor(ctx context.Context, n *night) (h *held, done func(), err error) {
	path, done := p.journal, func() {}
	if path == "" {
		folder, err := os.MkdirTemp("", "mustwatch-demo-")
		if err != nil {
			return nil, nil, refused("Name a place for it with --journal.",
				"There is no room for the rehearsal: {wrong}.",
				err)
		}
		path, done = filepath.Join(folder, journalName), func() { _ = os.RemoveAll(folder) }
	}
	err = journal.Create(path, journal.Info{Kind: journal.Rehearsal, Created: p.now()})
	if err == nil || errors.Is(err, fs.ErrExist) {
		h, err = hold(ctx, path, journal.Options{Station: p.station()})
	} else {
		err = refused("Name another place with --journal.", "The rehearsal could not be created: {wrong}.", err)
	}
	if err == nil {
		err = h.isOf(ctx, n)
	}
	if err != nil {
		done()
		return nil, nil, err
	}
	return h, done, nil
}

// isOf refuses a journal that is not a rehearsal of the night, and closes it.
func (h *held) isOf(ctx context.Context, n *night) error {
	if !h.rehearsal() {
		return h.letGo(refused("Name another place with --journal.",
			"{path} is the journal of a real cellar; the demo saves only to a rehearsal.", h.path))
	}
	if h.state.Seq == 0 {
		return nil
	}
	title, stop := "", errors.New("seen enough")
	err := h.Read(ctx, 1, func(r cellar.Record) error {
		if f, ok := r.Fact.(*cellar.RehearsalBegun); ok {
			title = f.Title
		}
		return stop
	})
	if !errors.Is(err, stop) {
		return h.letGo(explain(err, h.path))
	}
	if title != n.title {
		return h.letGo(refused("Name another place with --journal.", "{path} is a rehearsal of another night.", h.path))
	}
	return nil
}

// play writes the lines of the night up to the moment named, each at the time at
// which it became known, and returns that moment and the lines still to come. A
// rehearsal that was begun goes on: without a moment from where it had come to.
func (p *program) play(ctx context.Context, h *held, n *night, at string) (start time.Time, rest []nightLine,
	err error) {
	begun := h.state.Seq > 0
	if at == "" && begun {
		start = h.reached()
	} else {
		if start, err = n.startAt(at); err != nil {
			return start, nil, err
		}
	}
	if start.Before(n.lines[0].known) {
		return start, nil, usage("The night begins at {first}; --at {typed} lies before it.",
			n.lines[0].known.In(n.zone).Format("15:04"), at)
	}
	if start.Before(h.state.LastAt) {
		return start, nil, refused("Give a later moment, or begin another one with --journal.",
			"This rehearsal has come to {reached} already; {typed} lies before that.",
			h.state.LastAt.In(n.zone).Format("15:04"), start.In(n.zone).Format("15:04"))
	}
	var have []entryKey
	err = h.Read(ctx, 1, func(r cellar.Record) error {
		have = append(have, entryKey{r.Entry, r.At.Unix(), r.By})
		return nil
	})
	if err != nil {
		return start, nil, explain(err, h.path)
	}
	ready, rest := due(n.after(have), start)
	return start, rest, p.writeLines(ctx, h, ready)
}

// startAt is the moment named, else the one at which a night is shown first.
func (n *night) startAt(at string) (time.Time, error) {
	switch {
	case at != "":
		return n.moment(at)
	case n.file != "":
		return n.lines[len(n.lines)-1].known, nil
	}
	return n.moment(demoAt)
}

// nightOf is the night in a file, every line of it tried, or the one that the program
// brings along.
func (p *program) nightOf(ctx context.Context, file string) (*night, error) {
	if file == "" {
		return readNight(p.night)
	}
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, refused("Name a file of lines that begins with rehearse.", "The night cannot be read: {wrong}.",
			err)
	}
	n, stopped := &night{file: file, zone: time.UTC}, 0
	say := func(l line, err error) bool {
		stopped++
		fmt.Fprintln(p.stderr, clean(fmt.Sprintf("%s: %s", l.named(err), reason(err))))
		return len(n.lines) > 0 // without its first line nothing else means anything
	}
	err = n.read(text, say)
	if errors.Is(err, errNoText) {
		return nil, refused("Save it as plain text.", "{file} {wrong}.", file, err)
	}
	if err != nil && stopped == 0 {
		return nil, refused("Name a file of lines that begins with rehearse.",
			"{file} is not a night to play: {wrong}.", file, err)
	}
	if stopped == 0 {
		n.begin()
		desk := cellar.Desk{Journal: memory.New(), State: cellar.NewState(), Station: "script"}
		err = playLines(ctx, desk, n.lines, func(l nightLine, err error) {
			say(l.line, err)
			var needs *cellar.Needs
			if errors.As(err, &needs) {
				for _, s := range howTo(desk.State, needs) {
					fmt.Fprintln(p.stderr, clean("  "+s))
				}
			}
		})
	}
	switch {
	case stopped == 1:
		return nil, refused("Correct it; nothing was made.", "A line of {file} cannot be played.", file)
	case stopped > 1:
		return nil, refused("Correct the first one and try again; nothing was made.",
			"{n} lines of {file} cannot be played.", stopped, file)
	}
	return n, err
}

// writeLines writes lines of the night like those of anybody else. After a person has
// taken a hand some lines may no longer fit; they are left out and said.
func (p *program) writeLines(ctx context.Context, h *held, lines []nightLine) error {
	desk := cellar.Desk{Journal: h, State: h.state, Station: "script"}
	err := playLines(ctx, desk, lines, func(l nightLine, err error) {
		fmt.Fprintln(p.stderr, clean(sentence("mustwatch: note: {line} of the night no longer fits: {wrong}",
			l.line.named(err), reason(err))))
	})
	return explain(err, h.path)
}

// playLines writes lines, each when it became known; one that became known before what is
// written already is a late one. Those that are refused, or that a rule stops, are told.
func playLines(ctx context.Context, desk cellar.Desk, lines []nightLine, stopped func(nightLine, error)) error {
	for _, l := range lines {
		now := l.known
		if now.Before(desk.State.LastAt) {
			now = desk.State.LastAt
		}
		_, err := desk.Write(ctx, l.command, now)
		var no *cellar.Rejection
		var needs *cellar.Needs
		if errors.As(err, &no) || errors.As(err, &needs) {
			stopped(l, err)
		} else if err != nil {
			return err
		}
	}
	return nil
}
