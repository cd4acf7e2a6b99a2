package tui

import (
	"fmt"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/overlay"
	"cellar.example/mustwatch/tui/paper"
	"cellar.example/mustwatch/tui/theme"
	"cellar.example/mustwatch/tui/widget"
)

// help shows every key that works here, from the one table.
func (r *Root) help() {
	f := r.face()
	own := f.Keys(r.Sight())
	r.over = append(r.over, &overlay.Text{Title: "All keys", Extra: toCautions, Lines: func(th theme.Theme,
		w int) []string {
		lines := keys.Sheet(w, th, own, keys.Common())
		if h, ok := f.(face.Helper); ok {
			lines = append(lines, "")
			lines = append(lines, h.HelpLines(r.Sight(), r.box)...)
		}
		lines = append(append(lines, r.machine(w)...), "")
		return append(lines, cell.Wrap(onlyNotes+" "+caution.First+" In doubt stop and call. Press c for all cautions.",
			w)...)
	}})
}

const onlyNotes = "This board only keeps notes. It does not measure gas, lock machines or permit entry."

// toCautions stands under each page of help.
var toCautions = keys.Table{{Keys: []string{"c"}, Short: "cautions", Help: "all cautions", Group: keys.GroupProgram,
	Intent: intent.Cautions{}}}

// cautions shows all of them at length, each with where it holds.
func cautions() overlay.Overlay {
	return &overlay.Text{Title: "Cautions", Lines: func(th theme.Theme, w int) []string {
		var lines []string
		for _, r := range caution.Table() {
			lines = append(lines, cell.Hang(fmt.Sprintf("%-27s %s", r.Where+"  ", r.Text), w, 2)...)
		}
		return append(append(lines, ""), cell.Wrap(onlyNotes+" In doubt stop and call. "+caution.First, w)...)
	}}
}

// formHelp shows what the keys do in a form.
func (r *Root) formHelp() {
	table := r.form.Form.Keys()
	r.over = append(r.over, &overlay.Text{Title: "Keys in a form", Extra: toCautions, Lines: func(th theme.Theme,
		w int) []string {
		lines := append(keys.Sheet(w, th, table), "")
		for _, says := range []string{
			"Type what you know. A letter or digit picks a choice; left and right go through them, Del empties.",
			"Enter leaves the field. On the last one that is needed it saves the entry; what is wrong stands under " +
				"its field.",
			"Times: 2230, 22:30, Fri 07:00, +45, 45min ago. You can type the unit: 2 g/hL, 14 C, 57.2 F.",
			"In a text field ? is typed as text; F1 shows this page.",
		} {
			lines = append(lines, cell.Wrap(says, w-1)...)
		}
		return lines
	}})
}

// machine says what this machine does for the night, and what it cannot.
func (r *Root) machine(w int) []string {
	if r.o.Machine == nil {
		return nil
	}
	out := []string{""}
	said := r.o.Machine()
	if len(said) == 0 {
		said = []string{"This machine stays awake while the board runs; a shut lid still puts it to sleep."}
	}
	for _, s := range said {
		out = append(out, cell.Wrap(s, w)...)
	}
	return out
}

// why lists the next steps of a vessel with "may" or the one reason why not.
func (r *Root) why() {
	sub := r.face().Subject(r.Sight())
	v, ok := r.state.Vessel(sub.Vessel)
	if said := r.state.InhabitedSays(sub.Press, r.now); sub.Press != "" && said != nil {
		r.over = append(r.over, overlay.NewText(string(sub.Press)+": what it can do next", said))
		return
	}
	if !ok {
		r.say("put the cursor on a tank first")
		return
	}
	r.over = append(r.over, overlay.NewText(r.words("{tank}: what it can do next ({content})", v.Number, v.Now.Name()),
		face.StepLines(r.state, v, r.who, r.now)))
}

// sheet shows the handover sheet as it would print now.
func (r *Root) sheet() {
	t := paperText("Handover sheet", r.sheetText())
	if r.o.Save != nil {
		t.Extra = keys.Table{{Keys: []string{"p"}, Short: "save to a file",
			Help: "save the sheet to a file, for the printer", Group: keys.GroupProgram, Intent: intent.Print{}}}
	}
	t.Extra = append(t.Extra, keys.Binding{Keys: []string{"s"}, Short: "earlier shifts",
		Help: "list the shifts, and show the sheet of any", Group: keys.GroupProgram, Intent: intent.Shifts{}})
	r.over = append(r.over, t)
}

func (r *Root) sheetText() string {
	return paper.Full(handover.Sheet(r.state, r.now, sheet.Mark{Seq: uint64(r.state.Seq), Version: r.o.Version,
		Demo: r.o.Demo}))
}

// savedMsg is the outcome of writing a sheet to a file.
type savedMsg struct {
	where string
	upTo  cellar.Seq // the last record on it
	err   error
}

// save writes the sheet under a name that says when it is from.
func (r *Root) save() tea.Cmd {
	if r.o.Save == nil {
		return nil
	}
	if r.who == "" && len(r.state.House.People) > 0 { // it is printed for somebody
		r.person()
		return nil
	}
	upTo := r.state.Seq
	write, text := r.o.Save, r.sheetText()
	name := r.now.In(r.state.Zone()).Format("handover-2006-01-02-1504.txt")
	return func() tea.Msg {
		where, err := write(name, text)
		return savedMsg{where, upTo, err}
	}
}

// onSaved notes that a sheet was printed, so that what changes of it is told. The sheet
// is there whether that can be noted or not.
func (r *Root) onSaved(m savedMsg) tea.Cmd {
	c := &cellar.PrintSheet{Head: cellar.Head{By: r.who}, UpTo: m.upTo}
	switch {
	case m.err != nil:
		r.say(r.words("the sheet is NOT saved: {error}", m.err.Error()))
		return nil
	case r.waits(c) != nil:
		r.say("saved: the sheet, in " + m.where + "; the print is not in the log until you set the right time: press !")
		return nil
	}
	r.say("saved: the sheet, in " + m.where)
	return r.submit(&pending{cmd: c})
}

// Where words are looked for.
const (
	onBoard   = "board"
	inLog     = "log"
	toCorrect = "correct"
)

// find asks for words and keeps the board to what contains them, or looks for them in all
// that was saved.
func (r *Root) find() {
	form := widget.NewForm("Find", widget.Field{Name: "words", Label: "Contains",
		Hint: "tank, variety, load, person, product, day; blank = show all", Optional: true, Value: r.board.Filter()},
		widget.Field{Name: "where", Label: "Look in", Optional: true, Value: onBoard, Origin: "usual",
			Choices: []widget.Choice{{Key: 'b', Label: "the board", Value: onBoard},
				{Key: 'l', Label: "the log, all that was saved", Value: inLog},
				{Key: 'x', Label: "what can be corrected", Value: toCorrect}}})
	form.Verb = "find"
	r.faces = r.faces[:1]
	ask := &overlay.Ask{Form: form}
	ask.Done = func(v map[string]string) (string, string) {
		switch words := strings.TrimSpace(v["words"]); {
		case v["where"] == onBoard || v["where"] == "":
			r.board.SetFilter(v["words"])
		case words == "":
			return "words", "type what to look for: a tank, a load, a person, a product, a day, a word"
		case v["where"] == inLog:
			ask.Then = func() { r.found(words) }
		default:
			ask.Then = func() { r.correctFound(words) }
		}
		return "", ""
	}
	r.over = append(r.over, ask)
}

// correctFound opens the correction of what has some words in it.
func (r *Root) correctFound(words string) {
	if r.who == "" && len(r.state.House.People) > 0 {
		r.person()
		return
	}
	with := r.gathered
	with.Find = words
	r.openWith(intent.FormCorrect, face.Subject{}, with)
}

// mostFound is more lines than anybody pages through: who looks for one adds a word.
const mostFound = 200

// found shows what of all that was saved has some words in it, newest first, each with the
// number under which it can be corrected.
func (r *Root) found(words string) {
	var lines []string
	for e := range r.state.SearchFor(words).Events {
		if len(lines) == mostFound {
			lines = append(lines, r.words("… and older ones: add a word, or a day"))
			break
		}
		at := e.At.In(r.state.Zone()).Format("Mon 2 Jan 15:04")
		lines = append(lines, fmt.Sprintf("%5d  %s  %-3s %s: %s", e.Seq, at, e.By,
			r.state.NameOf(e.Subject), face.Written(e)))
	}
	if len(lines) == 0 {
		lines = []string{r.words("Nothing that was saved has {words} in it.", words)}
	}
	title := r.words("Log: {words}, newest first, each with its entry number", words)
	r.over = append(r.over, overlay.NewText(title, lines))
}

// which asks which of several things of one name is meant, and puts the cursor on it.
func (r *Root) which(in intent.Which) {
	all := slices.DeleteFunc(r.Sight().Numbers, func(of subject.Ref) bool { return of.Name != in.Name })
	var choices []widget.Choice
	for _, of := range all {
		choices = append(choices, widget.Choice{Key: rune(of.Kind[0]), Label: of.Full(), Value: of.Full()})
	}
	form := widget.NewForm(in.Name+" names more than one thing here: which one?", widget.Field{Name: "which",
		Label: "Thing", Choices: choices})
	form.Verb = "go to it"
	r.over = append(r.over, &overlay.Ask{Form: form, Done: func(v map[string]string) (string, string) {
		to := subject.Parse(v["which"])
		if !slices.Contains(all, to) {
			return "which", "pick one of them"
		}
		r.board.Go(to)
		return "", ""
	}})
}

// person asks who is at the keys. Initials, no password: a floor at night has
// none, and every entry carries a name anyway.
func (r *Root) person() {
	var choices []widget.Choice
	for i, p := range r.state.House.People {
		c := widget.Choice{Label: string(p.Initials) + " " + p.Name, Value: string(p.Initials)}
		if i < 9 {
			c.Key = rune('1' + i)
		}
		choices = append(choices, c)
	}
	if len(choices) == 0 {
		r.say("the house has no list of people yet")
		return
	}
	form := widget.NewForm("Who is at this screen?", widget.Field{Name: "who", Label: "Person", Choices: choices,
		Value: string(r.who)})
	form.Verb = "sign on"
	r.over = append(r.over, &overlay.Ask{Form: form, Done: func(v map[string]string) (string, string) {
		if _, ok := r.state.House.Person(cellar.Initials(v["who"])); !ok {
			return "who", "pick a person from the list"
		}
		r.who = cellar.Initials(v["who"])
		return "", ""
	}})
}

// firstRun is what a stranger sees when there is no journal.
func firstRun(path string) overlay.Overlay {
	return overlay.NewText("No journal yet", []string{
		"mustwatch keeps the night's tanks, doses, tests and clocks in one file, its journal.",
		"There is none at " + path + ".",
		"",
		"To look around in an invented cellar, in the middle of its night:",
		"    mustwatch demo",
		"",
		"To set up your own cellar:",
		"    mustwatch init --example > cellar.toml",
		"    edit cellar.toml: people, tanks, presses, product cards, what is in the tanks now",
		"    mustwatch init --from cellar.toml",
		"    mustwatch",
		"",
		"For a journal elsewhere: mustwatch --journal PATH, or set MUSTWATCH_JOURNAL.",
		"The program makes no journal by itself: you create it.",
	})
}
