package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clocks"
	"cellar.example/mustwatch/domain/text"
	"cellar.example/mustwatch/store/journal"
)

// oldPaper is the age from which a line counts as copied from paper: it is
// saved, and the summary says so.
const oldPaper = 24 * time.Hour

func (p *program) enterCommand() *cobra.Command {
	var stop, aloud bool
	cmd := &cobra.Command{
		Use:   "enter FILE|-",
		Short: "Save entries from a file or a pipe",
		Long:  entryHelp(),
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usage("enter takes one file, or - for what is piped in.")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			return p.enter(cmd.Context(), args[0], stop, aloud)
		},
	}
	cmd.Flags().BoolVar(&stop, "stop", false, "stop at the first line that is refused")
	cmd.Flags().BoolVarP(&aloud, "verbose", "v", false, "print each line's id and record number once it is saved")
	return cmd
}

func (p *program) enter(ctx context.Context, name string, stop, aloud bool) error {
	path, err := p.path()
	if err != nil {
		return err
	}
	in := p.stdin
	if name != "-" {
		f, err := os.Open(name)
		if err != nil {
			return refused("Name a file of entries, or - for what is piped in.", "The entries cannot be read: {wrong}.",
				err)
		}
		defer f.Close()
		in = f
	}
	h, err := p.join(ctx, path, journal.Options{Station: "enter"})
	if err != nil {
		return err
	}
	p.warn(h)
	c := &clerk{p: p, h: h, time: p.timeOf(h), stop: stop, aloud: aloud, desk: cellar.Desk{Journal: h, State: h.state,
		Station: "enter", Again: askAgain}}
	err = c.work(ctx, in)
	if errors.Is(err, errNoText) {
		err = refused("Save it as plain text.", "{file} {wrong}.", name, err)
	}
	if said := c.sum(); err == nil {
		err = said
	}
	return h.letGo(explain(err, path))
}

// askAgain waits for a board to come back that went in the middle of a line: half a
// second, and ten in all.
func askAgain(ctx context.Context, try int) bool {
	select {
	case <-time.After(500 * time.Millisecond):
		return try < 20
	case <-ctx.Done():
		return false
	}
}

// clerk writes the lines of a file, one after the other.
type clerk struct {
	p     *program
	h     *held
	desk  cellar.Desk
	time  *houseTime
	stop  bool // at the first line refused
	aloud bool

	written, refused, paper int
	first, last             cellar.Seq // of the records that were saved
	each                    []string   // of the first lines, under which number it was saved
	stoppedAt               int
}

// work takes the lines as they come. Reading runs beside it, so that an
// interrupt ends the work even while a pipe is silent; each line that was said
// to be written is on the disk by then.
func (c *clerk) work(ctx context.Context, in io.Reader) error {
	lines, done := make(chan line), make(chan error, 1)
	enough := make(chan struct{})
	defer close(enough)
	go func() {
		done <- readLines(in, func(l line) bool {
			select {
			case lines <- l:
				return true
			case <-enough:
				return false
			}
		})
	}()
	for {
		select {
		case l := <-lines:
			if err := c.take(ctx, l); err != nil {
				return err
			}
			if c.stoppedAt > 0 {
				return nil
			}
		case err := <-done:
			return err
		case <-ctx.Done():
			return refused("What it says is saved is saved.", "This was interrupted.")
		}
	}
}

// take writes one line, or says why not. The error is one of the journal, after
// which no other line can be written either.
func (c *clerk) take(ctx context.Context, l line) error {
	cmd, err := l.command(c.desk.State.House)
	unread := err != nil
	var recs []cellar.Record
	if !unread {
		recs, err = c.write(ctx, cmd)
	}
	var no *cellar.Rejection
	var needs *cellar.Needs
	switch {
	case err == nil:
		c.written++
		if n := len(recs); n > 0 {
			c.first, c.last = cmp.Or(c.first, recs[0].Seq), recs[n-1].Seq
		}
		said := fmt.Sprintf("%s saved, %s\n", clean(l.named(nil)), seqs(recs))
		if c.aloud {
			fmt.Fprint(c.p.stdout, said)
		} else if c.written <= mostNamed {
			c.each = append(c.each, said)
		}
		return nil
	case !unread && !errors.As(err, &no) && !errors.As(err, &needs):
		return fmt.Errorf("%s: %w", l.named(err), err)
	}
	c.refused++
	c.say("%s: %s", l.named(err), reason(err))
	if needs != nil {
		for _, s := range howTo(c.desk.State, needs) {
			c.say("  %s", s)
		}
	}
	if c.stop {
		c.stoppedAt = l.no
	}
	return nil
}

// write decides a line at its own now and appends what follows.
func (c *clerk) write(ctx context.Context, cmd cellar.Command) ([]cellar.Record, error) {
	head := cellar.HeadOf(cmd)
	if c.h.rehearsal() {
		return c.desk.Write(ctx, cmd, c.rehearsed(head))
	}
	if !head.Written.IsZero() {
		return nil, &cellar.Rejection{Code: "saved", Field: "saved",
			Say: text.Of("only a rehearsal takes this; a real journal notes by itself when a line is saved")}
	}
	if err := c.waits(cmd); err != nil {
		return nil, err
	}
	now := c.time.now()
	said, right := cmd.(*cellar.ConfirmTime)
	if right {
		now = c.time.tie(said)
	}
	recs, err := c.desk.Write(ctx, cmd, now)
	if err == nil && right {
		c.time.taken(c.desk.State)
	}
	if err == nil && !head.At.IsZero() && now.Sub(head.At) > oldPaper {
		c.paper++
	}
	return recs, err
}

// waits refuses lines while nobody knows what time it is.
func (c *clerk) waits(cmd cellar.Command) error {
	q := c.time.question()
	if q.Doubt != clocks.Lost {
		return nil
	}
	say := func(t time.Time) string { return t.In(c.desk.State.Zone()).Format("Mon 2 Jan 2006 15:04") }
	return cellar.Waits(cmd, fmt.Sprintf("nobody knows the time: the machine's clock says %s and the last entry was "+
		"at %s; say what time it is first, with a line {\"do\":\"time\",\"now\":…}", say(q.Other),
		say(c.desk.State.LastAt)))
}

// rehearsed is when a line of a rehearsal became known: as it says itself, but
// never before what is written already.
func (c *clerk) rehearsed(head *cellar.Head) time.Time {
	now := head.Written
	if now.IsZero() {
		now = head.At
	}
	if last := c.desk.State.LastAt; now.Before(last) {
		return last
	}
	return now
}

// seqs names the records of a line, for a later correction to go by.
func seqs(recs []cellar.Record) string {
	switch n := len(recs); n {
	case 0:
		return "nothing new"
	case 1:
		return sentence("seq {seq}", recs[0].Seq)
	default:
		return sentence("seq {first} to {last}", recs[0].Seq, recs[n-1].Seq)
	}
}

func (c *clerk) say(format string, args ...any) {
	fmt.Fprintln(c.p.stderr, clean(fmt.Sprintf(format, args...)))
}

// reason puts what was refused into one line: the field, the sentence, and for
// rules their codes.
func reason(err error) string {
	var needs *cellar.Needs
	var no *cellar.Rejection
	if errors.As(err, &no) && no.Code == cellar.WhichFirst {
		return sentence(`{wrong}: add "before":{seq} or "after":{seq}`, err, no.With)
	}
	if !errors.As(err, &needs) {
		return err.Error()
	}
	var out []string
	for _, f := range needs.Findings {
		says := needs.Message(f)
		if f.Field != "" {
			says = f.Field + ": " + says
		}
		out = append(out, says+" ("+string(f.Rule)+")")
	}
	return strings.Join(out, " ")
}

// mostNamed is up to how many lines each is named with its number at the end; of more the
// first and the last number are told, and -v names each.
const mostNamed = 12

// sum says what became of the lines, and returns what that means for the end.
func (c *clerk) sum() error {
	out := sentence("{saved} saved, {refused} refused", c.written, c.refused)
	if c.paper > 0 {
		out += sentence(", {n} from paper (more than 24 h ago)", c.paper)
	}
	if c.stoppedAt > 0 {
		out += sentence(", stopped at line {line}", c.stoppedAt)
	}
	if c.written <= mostNamed {
		fmt.Fprint(c.p.stdout, strings.Join(c.each, ""))
	} else if c.last > 0 {
		out += sentence(", seq {first} to {last}", c.first, c.last)
	}
	fmt.Fprintln(c.p.stdout, out)
	if c.refused > 0 {
		return &trouble{code: endRefused}
	}
	return nil
}
