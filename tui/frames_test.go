package tui_test

import (
	"context"
	"fmt"
	"io"
	"os"
	"regexp"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/memory"
	"cellar.example/mustwatch/tui"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
	"cellar.example/mustwatch/tui/tuitest"
)

// Every frame of the demo night keeps the rules below, whatever the window, the
// minute and the terminal. The checker reads the drawn cells and the state; it knows
// nothing of how a face is laid out but the rules.
//
//	1  exact      as many lines as the window, each as wide, every sign one cell, ASCII where asked
//	2  no starving  no text is cut while the pane it stands in has blanks; on board and wall none is cut at all
//	5  never away   without scrolling: the top line, what is overdue, what is held, NO ENTRY, the last gas reading
//	8  whole figures  a number has its unit beside it, a moment a colon, and neither looks like a number

// moments are the states of the demo night by minute, each folded once.
type moments struct {
	recs   []cellar.Record
	known  []time.Time // when each record became known
	states map[int]*cellar.State
}

const (
	dusk      = "18:00"
	nightMins = 12*60 + 30
)

func newMoments(t *testing.T) *moments {
	t.Helper()
	m := &moments{states: map[int]*cellar.State{}}
	j := memory.New()
	desk := &cellar.Desk{Journal: j, State: cellar.NewState(), Station: "test"}
	until := clock(t, dusk).Add(nightMins * time.Minute)
	for _, c := range nightLines(t) {
		now := cellar.KnownAt(c, until)
		if now.After(until) {
			break
		}
		_, err := desk.Write(context.Background(), c, now)
		require.NoError(t, err, cellar.HeadOf(c).Entry)
		for cellar.Seq(len(m.known)) < desk.State.Seq {
			m.known = append(m.known, now)
		}
	}
	require.NoError(t, j.Read(context.Background(), 1, func(r cellar.Record) error {
		m.recs = append(m.recs, r)
		return nil
	}))
	require.Len(t, m.known, len(m.recs))
	return m
}

// at is the state as it was known at a minute of the night.
func (m *moments) at(t *testing.T, minute int) (*cellar.State, time.Time) {
	now := clock(t, dusk).Add(time.Duration(minute) * time.Minute)
	if m.states[minute] == nil {
		s := cellar.NewState()
		for i, r := range m.recs {
			if m.known[i].After(now) {
				break
			}
			cellar.Apply(s, r)
		}
		m.states[minute] = s
	}
	return m.states[minute], now
}

// shot is one frame to be drawn.
type shot struct {
	face       string
	cols, rows int
	minute     int
	mode       theme.Mode
	profile    termenv.Profile
	ascii      bool
}

func (s shot) String() string {
	at := time.Date(2026, 9, 24, 18, s.minute, 0, 0, time.UTC)
	return fmt.Sprintf("%s at %s, %dx%d, %s %s ascii %v", s.face, at.Format("15:04"), s.cols, s.rows, s.mode,
		s.profile.Name(), s.ascii)
}

// keysOf are the keys that lead from the board to a face.
var keysOf = map[string]string{"board": "", "board open": "v", "wall": "b", "vessel": "<enter>", "dose": "d",
	"check": "c", "press": "p", "crew": "z", "why": "w", "help": "?", "sheet": "y"}

// draw draws a shot; ok is false where its keys lead to no other face.
func (s shot) draw(t *testing.T, m *moments) (f frame) {
	state, now := m.at(t, s.minute)
	r := lipgloss.NewRenderer(io.Discard)
	r.SetColorProfile(s.profile)
	root := tui.NewRoot(tui.Options{State: state, Person: "MA", Demo: true, Ascii: s.ascii,
		Light: s.mode == theme.Light,
		Now:   func() time.Time { return now }, Tick: func(time.Duration,
			func(time.Time) tea.Msg) tea.Cmd {
			return nil
		}}, theme.New(r, s.mode))
	root.Update(tea.WindowSizeMsg{Width: s.cols, Height: s.rows})
	if s.face != "board" && s.face != "wall" && s.face != "help" && s.face != "sheet" {
		for _, k := range tuitest.Keys(t, "102") {
			root.Update(k)
		}
	}
	for _, k := range tuitest.Keys(t, keysOf[s.face]) {
		root.Update(k)
	}
	view := root.View()
	return frame{shot: s, view: view, lines: strings.Split(tuitest.StripANSI(view), "\n"), state: state, now: now}
}

// frame is what was drawn, and what it was drawn from.
type frame struct {
	shot
	view  string
	lines []string
	state *cellar.State
	now   time.Time
}

func (f frame) check() error {
	for _, rule := range []func() error{f.exact, f.uncut, f.neverAway, f.wholeFigures} {
		if err := rule(); err != nil {
			return fmt.Errorf("%v: %w\n%s", f.shot, err, strings.Join(f.lines, "\n"))
		}
	}
	return nil
}

// exact is rule 1.
func (f frame) exact() error {
	if err := layout.Check(f.view, layout.Box{W: f.cols, H: f.rows}); err != nil {
		return err
	}
	for i, l := range f.lines {
		for _, r := range l {
			if n := ansi.StringWidth(string(r)); n != 1 {
				return fmt.Errorf("rule 1: line %d: %q is %d cells wide", i+1, r, n)
			}
			if f.ascii && (r < 0x20 || r > 0x7e) {
				return fmt.Errorf("rule 1: line %d: %q is no ASCII", i+1, r)
			}
		}
	}
	return nil
}

func (f frame) own() bool { return strings.HasPrefix(f.face, "board") || f.face == "wall" }

// sign is a sign as this frame draws it.
func (f frame) sign(s string) string {
	if f.ascii {
		return map[string]string{"▲": "!", "×": "x", "│": "|", "─": "-", "┬": "+", "…": "~", "·": "-"}[s]
	}
	return s
}

// panes are the regions of the board in which columns stand: beside a rule, above and
// below one.
func (f frame) panes() (out [][]string) {
	body := f.lines[2:max(2, len(f.lines)-1)]
	for i, l := range body {
		if at := strings.Index(l, f.sign("┬")); at > 0 && strings.HasPrefix(l, strings.Repeat(f.sign("─"), 20)) {
			x := len([]rune(l[:at]))
			return append(f.beside(body[:i]), columnsOf(body[i+1:], 0, x), columnsOf(body[i+1:], x+1, f.cols))
		}
	}
	return f.beside(body)
}

// beside parts what stands beside a rule; above it an emergency may take some lines.
func (f frame) beside(body []string) [][]string {
	for from := range min(8, len(body)) {
		for x := 60; x < f.cols-1; x++ {
			if !slices.ContainsFunc(body[from:], func(l string) bool { return string([]rune(l)[x]) != f.sign("│") }) {
				return [][]string{columnsOf(body, 0, x), columnsOf(body, x+1, f.cols)}
			}
		}
	}
	return [][]string{body}
}

func columnsOf(lines []string, from, to int) []string {
	out := make([]string, len(lines))
	for i, l := range lines {
		out[i] = string([]rune(l)[from:to])
	}
	return out
}

var cut, cutASCII = regexp.MustCompile(`\S…`), regexp.MustCompile(`[^\s~]~`)

// uncut is rule 2. A mark of a cut with a blank before it begins a line that counts
// what is below.
func (f frame) uncut() error {
	mark := cut
	if f.ascii {
		mark = cutASCII
	}
	if f.face != "wall" && mark.MatchString(f.lines[1]) {
		return fmt.Errorf("rule 2: the top line is cut")
	}
	for _, pane := range f.panes() {
		for i, l := range pane {
			if !mark.MatchString(l) {
				continue
			}
			if f.own() {
				return fmt.Errorf("rule 2: cut: %q", l)
			}
			if x, n := blankStrip(pane); n >= 3 {
				return fmt.Errorf("rule 2: line %d is cut (%q) beside %d blank columns from %d", i, l, n, x)
			}
		}
	}
	return nil
}

// blankStrip is the widest strip of columns that are blank in every line.
func blankStrip(pane []string) (at, n int) {
	run := 0
	for x := range len([]rune(pane[0])) {
		blank := true
		for _, l := range pane {
			blank = blank && []rune(l)[x] == ' '
		}
		if run++; !blank {
			run = 0
		}
		if run > n {
			at, n = x-run+1, run
		}
	}
	return at, n
}

// neverAway is rule 5.
func (f frame) neverAway() error {
	entry := f.state.EntryLine(f.now)
	nobody := strings.HasPrefix(entry, "NO TANK ENTRY")
	if f.face != "wall" {
		if nobody && !strings.Contains(f.lines[0], "NO TANK ENTRY") {
			return fmt.Errorf("rule 5: NO ENTRY is not in the first line")
		}
		if due := f.state.Alarms(f.now); len(due) > 0 && !strings.Contains(f.lines[1], f.plain(due[0].Subject.Name)) {
			return fmt.Errorf("rule 5: the top line does not say %s %s", due[0].Subject, due[0].Says())
		}
	}
	if !f.own() {
		return nil
	}
	text := f.joined()
	if nobody && !strings.Contains(text, "NO TANK ENTRY") {
		return fmt.Errorf("rule 5: NO TANK ENTRY is missing")
	}
	if g, ok := f.state.LastGas(); ok && f.now.Sub(g.At) < 12*time.Hour {
		values := g
		values.Meter = "" // the meter may give way, what it showed may not
		for _, part := range []string{g.Place, strings.TrimSuffix(values.Text(), ", meter not said"), face.Ago(g.At,
			f.now)} {
			if !strings.Contains(text, f.plain(part)) {
				return fmt.Errorf("rule 5: the last gas reading lacks %q", part)
			}
		}
	}
	for _, v := range f.state.Vessels() {
		if v.Hold != nil && !f.marked(f.sign("×"), string(v.Number)) {
			return fmt.Errorf("rule 5: %s is held and not in view", v.Number)
		}
	}
	return f.overdueShown(text)
}

// overdueShown: each in view, on the wall in figures or by name in the line of the
// rest; what came due before the last shift at least counted.
func (f frame) overdueShown(text string) error {
	late := map[string]bool{}
	for _, c := range f.state.Alarms(f.now) {
		if !c.Due.Before(f.state.Shift.Before) {
			late[c.Subject.Name] = true
		}
	}
	for _, l := range f.state.Loads {
		if l.Late(f.now) > 0 {
			late[string(l.ID)] = true
		}
	}
	if f.face == "wall" {
		return nil // its figures are read in its own package
	}
	for subject := range late {
		if !f.marked(f.sign("▲"), subject) {
			return fmt.Errorf("rule 5: %s is overdue and not in view", subject)
		}
	}
	_ = text
	return nil
}

// marked reports whether a name stands in the body behind a mark.
func (f frame) marked(mark, name string) bool {
	mark = regexp.QuoteMeta(mark)
	re := regexp.MustCompile(mark + `([^` + mark + `│|]*?[^\p{L}\d])?` + regexp.QuoteMeta(f.plain(name)) +
		`($|[^\p{L}\d])`)
	return slices.ContainsFunc(f.panes(), func(pane []string) bool { return re.MatchString(strings.Join(pane, " ")) })
}

func (f frame) plain(s string) string {
	if f.ascii {
		return cell.Plain(s)
	}
	return s
}

var single = regexp.MustCompile(`\s+`)

// joined is the text of all panes, lines behind one another.
func (f frame) joined() string {
	var out []string
	for _, pane := range f.panes() {
		out = append(out, single.ReplaceAllString(strings.Join(pane, " "), " "))
	}
	return strings.Join(out, " \n ") + " \n " + single.ReplaceAllString(strings.Join(f.lines, " "), " ")
}

var units = map[string]bool{"g": true, "kg": true, "t": true, "mL": true, "L": true, "hL": true, "%": true, "°C": true,
	"C": true, "min": true, "h": true, "d": true, "s": true,
	"ppm": true, "g/hL": true, "mL/hL": true, "bar": true, "NTU": true, "kWh": true, "K": true, "lines": true,
	"more": true, "of": true, "g/L": true, "g/100": true, "°Brix": true, "unseen": true, "UNSEEN": true}

var bare = regexp.MustCompile(`^[+~]?\d+([.,]\d+)?$`)

// wholeFigures is rule 8, for the faces that are looked at in passing: a number is a
// name of the house, or its unit stands behind it on the same line, or it is minutes
// behind hours, or a day before its month.
func (f frame) wholeFigures() error {
	for i, l := range f.lines {
		if regexp.MustCompile(`\d…`).MatchString(l) {
			return fmt.Errorf("rule 8: line %d: a number is shortened: %q", i+1, l)
		}
	}
	if !f.own() {
		return nil
	}
	names := f.names()
	for _, pane := range append(f.panes(), f.lines[:2]) {
		if f.face == "wall" {
			pane = f.lines
		}
		for _, l := range pane {
			words := strings.Fields(strings.NewReplacer(f.sign("▲"), " ", f.sign("×"), " ", ">", " ", f.sign("│"),
				" ").Replace(l))
			for i, w := range words {
				w = strings.TrimRight(strings.TrimLeft(w, "("), ".,;:)")
				if !bare.MatchString(w) || names[w] {
					continue
				}
				next, before := "", ""
				if i+1 < len(words) {
					next = strings.TrimRight(words[i+1], ".,;:)")
				}
				if i > 0 {
					before = words[i-1]
				}
				_, err := time.Parse("Jan", next)
				group := len(next) == 3 && bare.MatchString(next) && i+2 < len(words) &&
					units[strings.TrimRight(words[i+2], ".,;:)")]
				switch {
				case units[next], group, err == nil, before == "h" && len(w) == 2, before == "PERMIT", before == "of":
				default:
					return fmt.Errorf("rule 8: %q has no unit in %q", w, l)
				}
			}
		}
	}
	return nil
}

// names are the figures that name something in this house.
func (f frame) names() map[string]bool {
	out := map[string]bool{}
	for _, v := range f.state.Vessels() {
		out[string(v.Number)] = true
		for _, w := range strings.Fields(v.Now.Note + " " + v.Now.Variety()) { // words of a person
			out[w] = true
		}
		if v.Hold != nil {
			for _, w := range strings.Fields(v.Hold.Reason) {
				out[strings.Trim(w, ".,;")] = true
			}
		}
	}
	for _, p := range f.state.Presses() {
		out[string(p.Number)] = true
	}
	for _, l := range f.state.Loads {
		out[string(l.ID)] = true
	}
	if g, ok := f.state.LastGas(); ok {
		for _, w := range strings.Fields(g.Place) {
			out[w] = true
		}
	}
	return out
}

var frames atomic.Int64

func drawShot(rt *rapid.T, faces []string) shot {
	s := shot{face: rapid.SampledFrom(faces).Draw(rt, "face"), cols: rapid.IntRange(60, 240).Draw(rt, "cols"),
		rows:   rapid.IntRange(20, 70).Draw(rt, "rows"),
		minute: rapid.IntRange(0, nightMins).Draw(rt, "minute"), mode: rapid.SampledFrom([]theme.Mode{theme.Dark,
			theme.Light}).Draw(rt, "mode"),
		profile: rapid.SampledFrom([]termenv.Profile{termenv.TrueColor, termenv.ANSI256, termenv.ANSI,
			termenv.Ascii}).Draw(rt, "profile")}
	s.ascii = rapid.Bool().Draw(rt, "ascii")
	return s
}

// least reports whether a window is one in which a night can be worked; below it the
// only rule is a line that says so.
func (s shot) least() bool { return s.cols >= 80 && s.rows >= 24 }

func (f frame) tooSmall() error {
	if !strings.Contains(single.ReplaceAllString(strings.Join(f.lines, " "), " "), "mustwatch needs 80 x 24") {
		return fmt.Errorf("%v does not say what it needs", f.shot)
	}
	return f.exact()
}

// framesAtOnce are drawn in each check of the property, so that 100 checks, what go
// test makes, are 2 000 frames; .ci/run asks for 2 500 checks, 50 000 frames.
const framesAtOnce = 20

// TestEveryFrameKeepsTheRules draws frames at random: any size, any minute of the demo
// night, dark, light, mono, ASCII; the board and the wall most often.
func TestEveryFrameKeepsTheRules(t *testing.T) {
	m := newMoments(t)
	faces := []string{"board", "board", "board", "board open", "wall", "wall", "wall", "vessel", "vessel", "dose",
		"check", "press", "crew", "why", "help", "sheet"}
	frames.Store(0)
	rapid.Check(t, func(rt *rapid.T) {
		for range framesAtOnce {
			s := drawShot(rt, faces)
			f := s.draw(t, m)
			err := f.tooSmall()
			if s.least() {
				err = f.check()
			}
			if frames.Add(1); err != nil {
				rt.Fatal(err)
			}
		}
	})
	t.Logf("%d frames drawn", frames.Load())
}

// TestEveryWidth draws board and wall at every width and three heights; in go test at
// every seventh.
func TestEveryWidth(t *testing.T) {
	step := 7
	if os.Getenv("MUSTWATCH_EVERY_WIDTH") != "" {
		step = 1
	}
	m, n := newMoments(t), 0
	for cols := 60; cols <= 240; cols += step {
		for _, rows := range []int{24, 40, 60} {
			for _, at := range []int{20, 260, 490, 715} { // 18:20, 22:20, 02:10, 05:55
				for _, s := range []shot{
					{face: "board", profile: termenv.Ascii}, {face: "board", profile: termenv.TrueColor,
						mode: theme.Light},
					{face: "board", profile: termenv.Ascii, ascii: true}, {face: "wall", profile: termenv.Ascii},
					{face: "wall", profile: termenv.Ascii, ascii: true},
				} {
					s.cols, s.rows, s.minute = cols, rows, at
					f := s.draw(t, m)
					err := f.tooSmall()
					if s.least() {
						err = f.check()
					}
					require.NoError(t, err)
					n++
				}
			}
		}
	}
	t.Logf("%d frames drawn", n)
}
