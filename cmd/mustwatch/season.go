package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/show"
	"cellar.example/mustwatch/store/journal"
)

func (p *program) seasonCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "season",
		Short: "List the seasons that are kept, or close this one",
		Long: `Lists the journals of earlier seasons that lie beside this one. Read one with
--season: mustwatch sheet --season 2026, show, verify, or the board itself.`,
		Args: noArguments,
		RunE: func(*cobra.Command, []string) error { return p.listSeasons() },
	}
	var by, name string
	shut := &cobra.Command{
		Use:   "close --by INITIALS",
		Short: "End the season and begin a new journal with what is in the tanks",
		Long: `Ends the season. What still runs is named first, and then nothing is done: an open
shift, an alarm, must in a press, a load in the yard, a live permit. Else it

  saves the last balance beside the journal, as a table,
  closes the journal: it can be read, and nothing more is saved in it,
  checks every record of it, and keeps it as cellar-2026.db,
  begins a new journal in its place, with the house, its people, vessels, presses,
  cards and stock, what is in the tanks, what is on hold, ordered or promised.

Load numbers begin again; wine of this season keeps its loads as 2026/0415. End the
board first. If it is interrupted, run it again: it goes on where it was.`,
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return p.closeSeason(cmd.Context(), cellar.Initials(by), name)
		},
	}
	shut.Flags().StringVar(&by, "by", "", "`initials` of the lead or the winemaker who closes it")
	shut.Flags().StringVar(&name, "name", "", "`name` of the season that ends (else the year of its last entry)")
	cmd.AddCommand(shut)
	return cmd
}

// seasonFile is where the journal of an earlier season lies: beside that of this one.
func seasonFile(path, season string) string {
	ext := filepath.Ext(path)
	return strings.TrimSuffix(path, ext) + "-" + season + ext
}

// seasonsBeside names the seasons that lie beside a journal.
func seasonsBeside(path string) (names []string) {
	ext := filepath.Ext(path)
	stem := strings.TrimSuffix(path, ext) + "-"
	found, _ := filepath.Glob(globbed(stem) + "*" + globbed(ext))
	for _, f := range found {
		names = append(names, strings.TrimSuffix(strings.TrimPrefix(f, stem), ext))
	}
	return names
}

// globbed is a name that a pattern takes as it stands.
func globbed(name string) string {
	return strings.NewReplacer(`*`, `\*`, `?`, `\?`, `[`, `\[`).Replace(name)
}

// ofSeason is the journal of the season that was asked for, beside the one at path.
func (p *program) ofSeason(path string) (string, error) {
	if p.season == "" {
		return path, nil
	}
	f := seasonFile(path, p.season)
	if _, err := os.Stat(f); err == nil {
		return f, nil
	}
	kept := seasonsBeside(path)
	if len(kept) == 0 {
		return "", refused("A season is kept when it is closed: mustwatch season close.",
			"There is no earlier season beside {journal}.", path)
	}
	return "", refused("Choose one of them: "+strings.Join(kept, ", ")+".",
		"There is no season {season} beside {journal}.",
		p.season,
		path)
}

func (p *program) listSeasons() error {
	path, err := p.path()
	if err != nil {
		return err
	}
	kept := seasonsBeside(path)
	if len(kept) == 0 {
		_, err = fmt.Fprintln(p.stdout, sentence("No earlier season lies beside {journal}.", path))
	}
	for _, name := range kept {
		_, err = fmt.Fprintf(p.stdout, "%s  %s\n", name, seasonFile(path, name))
	}
	return err
}

// closeSeason ends the season of the journal and begins the next in its place.
func (p *program) closeSeason(ctx context.Context, by cellar.Initials, name string) error {
	if by == "" {
		return usage("Who closes the season? Name the lead or the winemaker with --by.")
	}
	if p.season != "" {
		return usage("--season {season} is closed already; leave --season out.", p.season)
	}
	path, err := p.path()
	if err != nil {
		return err
	}
	h, err := hold(ctx, path, journal.Options{Station: "season"})
	if err != nil {
		return err
	}
	p.warn(h)
	done, err := p.seal(ctx, h, by, name)
	if err := h.letGo(err); err != nil {
		return explain(err, path)
	}
	balance := strings.TrimSuffix(done.former, filepath.Ext(done.former)) + "-balance.txt"
	if err := done.saveBalance(balance); err != nil {
		return refused("Make room, then run it again: the season is closed, the next has not begun.",
			"The last balance could not be saved: {why}.", err)
	}
	if err := done.begin(ctx, path); err != nil {
		return refused("Run it again: the season is closed, the next has not begun.",
			"The new journal could not be made: {why}.", err)
	}
	_, err = fmt.Fprintln(p.stdout, sentence("Season {season} is closed. Its journal is {former}, its last balance "+
		"{balance}.\nThe new season begins with {total} in {journal}; read the old one with --season {old}.",
		done.season, done.former, balance, done.state.Total().Text(done.state.House.Units), path, done.season))
	return err
}

// ending is a season that is closed, and the records that the next begins with.
type ending struct {
	season, former string
	kind           journal.Kind
	at             time.Time
	state          *cellar.State // of the season that ends
	records        []cellar.Record
}

// seal closes the season in its journal, unless that is done already, and makes the
// records of the next, which must hold what the old one holds.
func (p *program) seal(ctx context.Context, h *held, by cellar.Initials, name string) (*ending, error) {
	c := &clerk{p: p, h: h, time: p.timeOf(h), desk: cellar.Desk{Journal: h, State: h.state, Station: "season"}}
	s := h.state
	out := &ending{season: s.Season.Name, kind: h.file.Info().Kind, at: s.Season.Closed, state: s}
	if out.at.IsZero() {
		now := c.time.now()
		if h.rehearsal() {
			now = h.reached()
		}
		if out.season = name; name == "" {
			out.season = s.LastAt.In(s.Zone()).Format("2006")
		}
		cmd := &cellar.CloseSeason{Head: cellar.Head{By: by}, Season: out.season}
		if h.rehearsal() {
			cmd.Written = now
		}
		if _, err := cellar.Decide(s, cmd, now); err != nil {
			return nil, saidOf(s, err)
		}
		if _, err := os.Lstat(seasonFile(h.path, out.season)); err == nil {
			return nil, refused("Name this one with --name.", "There is a season {season} already: {file}.", out.season,
				seasonFile(h.path, out.season))
		}
		if _, err := carriedOn(s, by, now, cellar.Former{Season: out.season}); err != nil {
			return nil, refused("Nothing was closed. Correct that, then close the season.",
				"The next season could not begin: {why}.", err)
		}
		if _, err := c.write(ctx, cmd); err != nil {
			return nil, saidOf(s, err)
		}
		out.at = s.Season.Closed
	}
	if err := h.file.Verify(ctx); err != nil {
		return nil, err
	}
	out.former = seasonFile(h.path, out.season)
	seq, hash := h.file.Head()
	var err error
	out.records, err = carriedOn(s, by, out.at, cellar.Former{Season: out.season, Seq: seq, Hash: hash})
	return out, err
}

// saidOf is why something was not saved, as trouble, in the words of a house.
func saidOf(s *cellar.State, err error) error {
	var no *cellar.Rejection
	if errors.As(err, &no) {
		return refused("Nothing was closed.", "{why}.", s.Words(no.Say))
	}
	return err
}

// carriedOn plays what a season hands on into an empty cellar, and holds the two against
// each other: not a litre is lost on the way.
func carriedOn(s *cellar.State, by cellar.Initials, at time.Time, from cellar.Former) ([]cellar.Record, error) {
	next := cellar.NewState()
	var out []cellar.Record
	for _, c := range s.Carried(by, at, from) {
		facts, err := cellar.Decide(next, c, at)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", cellar.Do(c), err)
		}
		for _, r := range cellar.Records(c, facts, at, "season") {
			r.Seq = next.Seq + 1
			cellar.Apply(next, r)
			out = append(out, r)
		}
	}
	for _, v := range s.Vessels() {
		w, ok := next.Vessel(v.Number)
		if !ok || w.Now.Volume != v.Now.Volume || w.Now.Name() != v.Now.Name() {
			return nil, errors.New(sentence("{tank} holds {volume} {name}, and would begin with {next} {wine}",
				v.Number,
				v.Now.Volume.Text(s.House.Units), v.Now.Name(), w.Now.Volume.Text(s.House.Units), w.Now.Name()))
		}
	}
	return out, nil
}

// saveBalance saves what was where at the end, and what became of every load.
func (e *ending) saveBalance(name string) error {
	var text strings.Builder
	d := show.Cellar(e.state, e.at)
	if err := printState(&text, e.state, &d); err != nil {
		return err
	}
	return os.WriteFile(name, []byte(text.String()), 0o644)
}

// begin makes the new journal beside the old one, checks it, and puts it in its place.
func (e *ending) begin(ctx context.Context, path string) error {
	next := path + ".next"
	for _, f := range []string{next, next + ".head"} { // of an attempt that was interrupted
		if err := os.Remove(f); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	if err := journal.Create(next, journal.Info{Kind: e.kind, Created: e.at}); err != nil {
		return err
	}
	j, err := journal.Open(next, journal.Options{Station: "season"})
	if err != nil {
		return err
	}
	_, err = j.Append(ctx, 0, e.records...)
	if err == nil {
		err = j.Verify(ctx)
	}
	if err := errors.Join(err, j.Close()); err != nil {
		return err
	}
	return journal.Succeed(path, next, e.former)
}
