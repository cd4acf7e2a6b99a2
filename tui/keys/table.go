package keys

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/tui/intent"
)

// Binding is one line of a table: which keys, what they mean, how to say it.
type Binding struct {
	// Keys by the names of Name: "d", "space", "enter", "up", "shift+tab".
	Keys []string
	// Label stands for the keys in help, where listing them would be silly
	// ("0-9 A-Z"). Empty means the keys themselves.
	Label string
	// Short is the word in the footer. Empty keeps the key out of the footer.
	Short string
	// Help is the phrase in the help overlay.
	Help string
	// Group is the heading the key stands under in the help overlay.
	Group string
	// Intent is what the key means. An intent.Number is given the key's sign.
	Intent intent.Intent
	// Off says in a sentence why the key cannot work now; "" means it can. A nil
	// Off never stops a key. It is asked on every lookup and must be cheap.
	Off func() string
}

// Reason is why the binding cannot work now, "" if it can.
func (b Binding) Reason() string {
	if b.Off == nil {
		return ""
	}
	return b.Off()
}

// label is how help names the keys.
func (b Binding) label() string {
	if b.Label != "" {
		return b.Label
	}
	return strings.Join(b.Keys, " ")
}

// Table is the keys of one screen or overlay, in the order help shows them.
type Table []Binding

// Lookup finds what a single key press means. When the key is bound but cannot
// work now, ok is true, the intent is nil and reasonOff is the sentence to show.
// Pasted text means nothing here, whatever letters are in it; so does a message
// of several runes, which Split takes apart first.
func (t Table) Lookup(msg tea.KeyMsg) (in intent.Intent, reasonOff string, ok bool) {
	name := Name(msg)
	if name == "" {
		return nil, "", false
	}
	for _, b := range t {
		if !slices.Contains(b.Keys, name) {
			continue
		}
		if why := b.Reason(); why != "" {
			return nil, why, true
		}
		if p, isNumber := b.Intent.(intent.Number); isNumber && len(msg.Runes) == 1 {
			p.Digit = msg.Runes[0]
			return p, "", true
		}
		return b.Intent, "", true
	}
	return nil, "", false
}

// Name is the name a table knows a key by, "" for what cannot be bound: pastes,
// several runes at once, and anything with Alt, which wet gloves do not reach.
func Name(msg tea.KeyMsg) string {
	switch {
	case msg.Paste || msg.Alt:
		return ""
	case msg.Type == tea.KeySpace:
		return "space"
	case msg.Type != tea.KeyRunes:
		return msg.String()
	case len(msg.Runes) != 1:
		return ""
	case msg.Runes[0] == ' ':
		return "space"
	default:
		return string(msg.Runes[0])
	}
}

// Split takes apart what arrived too fast: a terminal hands "jjd" over as one
// message, and bound as one key it would be lost. A paste stays whole, because
// it is text and must never be read as keys.
func Split(msg tea.KeyMsg) []tea.KeyMsg {
	if msg.Paste || msg.Type != tea.KeyRunes || len(msg.Runes) < 2 {
		return []tea.KeyMsg{msg}
	}
	out := make([]tea.KeyMsg, len(msg.Runes))
	for i, r := range msg.Runes {
		out[i] = tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}, Alt: msg.Alt}
		if r == ' ' {
			out[i].Type = tea.KeySpace
		}
	}
	return out
}

// Collisions lists every key that stands for two different intents among the
// tables, which should be those that are in force together. A test expects none.
func Collisions(tables ...Table) []string {
	first := map[string]Binding{}
	var out []string
	for _, t := range tables {
		for _, b := range t {
			for _, k := range b.Keys {
				was, taken := first[k]
				if !taken {
					first[k] = b
					continue
				}
				if was.Intent != b.Intent {
					out = append(out, fmt.Sprintf("%s: %q and %q", k, was.Help, b.Help))
				}
			}
		}
	}
	return out
}

// Range names the single-rune keys from first to last, for a binding that takes
// them all.
func Range(first, last rune) []string {
	var out []string
	for r := first; r <= last; r++ {
		if unicode.IsPrint(r) {
			out = append(out, string(r))
		}
	}
	return out
}
