package domain_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// looksInto are the functions that look for words in a text.
var looksInto = map[string]bool{"Contains": true, "HasPrefix": true, "HasSuffix": true, "Cut": true, "CutPrefix": true,
	"CutSuffix": true, "TrimPrefix": true, "TrimSuffix": true, "Index": true, "LastIndex": true, "Split": true,
	"SplitN": true, "EqualFold": true, "Count": true, "Replace": true, "ReplaceAll": true}

// typedProse is where words are looked for in what somebody types, or in what is none of a sentence, each with its
// reason.
var typedProse = map[string]string{
	"domain/daytime/daytime.go: in ":     "typed: in 2 h",
	"tui/entry/when.go: in ":             "typed: in 2 h",
	"domain/must/potential.go: anlage 8": "typed: a convention",
	"tui/screen/board/next.go: in ":      "shortens what is drawn to its column",
	"tui/screen/board/next.go:  late":    "shortens what is drawn to its column",
	"tui/screen/board/next.go:  min":     "shortens what is drawn to its column",
	"tui/entry/when.go: second":          "typed: which of two hours when clocks go back",
	"tui/entry/desk.go:  hL":             "a unit",
	"tui/entry/desk.go:  gal":            "a unit",
}

var (
	twoWords = regexp.MustCompile(`[\pL]{2,}.*\s|\s.*[\pL]{2,}`)
	longWord = regexp.MustCompile(`^[^\pL]*[\pL]{4,}[^\pL]*$`)
)

// looked is a literal that is looked for in a text.
type looked struct {
	word string
	at   token.Pos
}

// prose lists the words that a file looks for in texts: those with a blank, also where they are compared,
// and those of four letters and more of which shown reports that the program says them.
func prose(f *ast.File, shown func(word string) bool) (out []looked) {
	compared := func(x ast.Expr) {
		if word, ok := wordOf(x); ok && twoWords.MatchString(word) {
			out = append(out, looked{word, x.Pos()})
		}
	}
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.BinaryExpr:
			if n.Op == token.EQL || n.Op == token.NEQ {
				compared(n.X)
				compared(n.Y)
			}
		case *ast.CaseClause:
			for _, x := range n.List {
				compared(x)
			}
		}
		call, ok := n.(*ast.CallExpr)
		if !ok || len(call.Args) < 2 {
			return true
		}
		fn, ok := call.Fun.(*ast.SelectorExpr)
		if !ok || !looksInto[fn.Sel.Name] {
			return true
		}
		if of, ok := fn.X.(*ast.Ident); !ok || of.Name != "strings" && of.Name != "bytes" {
			return true
		}
		for _, arg := range call.Args[:2] {
			word, ok := wordOf(arg)
			if !ok {
				continue
			}
			letters := strings.TrimFunc(word, noLetter)
			if twoWords.MatchString(word) || longWord.MatchString(word) && shown(letters) {
				out = append(out, looked{word, arg.Pos()})
			}
		}
		return true
	})
	return out
}

func noLetter(r rune) bool { return !('a' <= r && r <= 'z' || 'A' <= r && r <= 'Z') }

func wordOf(x ast.Expr) (word string, ok bool) {
	lit, ok := x.(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		return "", false
	}
	word, err := strconv.Unquote(lit.Value)
	return word, err == nil
}

// TestNoLogicReadsProse: what a screen or a rule needs to know is a value. Nothing looks for words in a text, but in
// what somebody types.
func TestNoLogicReadsProse(t *testing.T) {
	var all strings.Builder
	for _, x := range shownTexts(t) {
		all.WriteString(" " + x.words)
	}
	words := map[string]bool{}
	for _, w := range strings.FieldsFunc(all.String(), noLetter) {
		words[w] = true
	}
	shown := func(w string) bool { return words[w] }
	used := map[string]bool{}
	for _, s := range sources(t) {
		if strings.HasSuffix(s.path, "_test.go") || strings.HasPrefix(s.path, "tui/tuitest") ||
			!strings.HasPrefix(s.path, "domain/") && !strings.HasPrefix(s.path, "tui/") {
			continue
		}
		for _, x := range prose(s.file, shown) {
			key := s.path + ": " + x.word
			if used[key] = true; typedProse[key] == "" {
				t.Errorf("%s looks for %q in a text: ask for a value, or say in typedProse who types it",
					s.set.Position(x.at), x.word)
			}
		}
	}
	for key := range typedProse {
		if !used[key] {
			t.Errorf("typedProse has %q, which nothing looks for any more", key)
		}
	}
}

// TestProseIsFound: the test above finds what it is there for, and leaves alone what is no words.
func TestProseIsFound(t *testing.T) {
	planted := `package p
func f(s string) {
	strings.Contains(s, "permit ")
	strings.TrimSuffix(s, ": no live permit")
	if _, after, ok := strings.Cut(s, "gone over"); ok { f(after) }
	strings.HasPrefix(s, "settle")
	if s == "may rack" || s == "test" { return }
	strings.HasPrefix(s, "\x1b[")
	strings.Split(s, ", ")
	strings.TrimSuffix(s, "kW")
	strings.HasPrefix(s, "qqqq")
	strings.HasPrefix(s, settle)
}`
	f, err := parser.ParseFile(token.NewFileSet(), "planted.go", planted, 0)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, x := range prose(f, func(w string) bool { return w == "settle" }) {
		got = append(got, x.word)
	}
	if want := []string{"permit ", ": no live permit", "gone over", "settle", "may rack"}; !slices.Equal(got, want) {
		t.Errorf("found %q, not %q", got, want)
	}
}
