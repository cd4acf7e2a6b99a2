package domain_test

import (
	"flag"
	"go/ast"
	"go/token"
	"os"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"
)

var update = flag.Bool("update", false, "write testdata/golden/texts.txt again")

const listed = "../testdata/golden/texts.txt"

// mostRead is how many lines somebody reads in one go.
const mostRead = 1700

// shownText is a text with its file and where it stands: the function that takes it or the field of a struct that
// holds it.
type shownText struct {
	file  string
	place string
	words string
}

// quiet are functions whose words nobody sees at the board: what a programmer reads.
var quiet = map[string]bool{"panic": true, "regexp.MustCompile": true, "time.Parse": true, "time.ParseInLocation": true,
	"command": true, "fact": true}

// quietFields are fields of structs that hold names and not words.
var quietFields = map[string]bool{"Name": true, "Value": true, "Keys": true, "Code": true}

// wordFields are fields in which one word by itself is a text.
var wordFields = map[string]bool{"Label": true, "Short": true, "Help": true, "Hint": true, "Title": true,
	"Origin": true, "Verb": true}

var (
	readsLikeWords = regexp.MustCompile(`[A-Za-z]{2,}.* .*[A-Za-z]|^[A-Z]{3,}$`)
	aWord          = regexp.MustCompile(`[A-Za-z]{2,}`)
	aLayout        = regexp.MustCompile(`^(Mon |2 Jan|15:04|2006)`)
	anExample      = regexp.MustCompile(`^(\{"do":.*|\},"do":.*)`)
)

// paragraphs stand without blank lines between them.
var paragraphs = regexp.MustCompile(`\n+`)

var allTexts []shownText

// shownTexts lists what the source says to people: string literals that read like words, wherever they stand.
// Pieces that are added are one text, with … for what is put in between.
func shownTexts(t *testing.T) (out []shownText) {
	if len(allTexts) > 0 {
		return allTexts
	}
	defer func() { allTexts = out }()
	for _, f := range sources(t) {
		if strings.HasSuffix(f.path, "_test.go") || strings.HasPrefix(f.path, "testdata") ||
			strings.HasPrefix(f.path, "tui/tuitest") || strings.HasPrefix(f.path, "store/storetest") {
			continue
		}
		walkTexts(f.file, "", func(place, words string) {
			out = append(out, shownText{f.path, place, words})
		})
	}
	return out
}

// walkTexts goes down the syntax with the place at which a literal stands.
func walkTexts(n ast.Node, at string, yield func(place, words string)) {
	ast.Inspect(n, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ImportSpec:
			return false
		case *ast.Field: // with its tag
			walkTexts(n.Type, at, yield)
			return false
		case *ast.CallExpr:
			fn := nameOf(n.Fun)
			if quiet[fn] || strings.HasPrefix(fn, "command[") {
				return false
			}
			for _, a := range n.Args {
				walkTexts(a, fn, yield)
			}
			walkTexts(n.Fun, at, yield)
			return false
		case *ast.KeyValueExpr:
			if k, ok := n.Key.(*ast.Ident); ok {
				if !quietFields[k.Name] {
					walkTexts(n.Value, k.Name, yield)
				}
				return false
			}
		case *ast.BinaryExpr:
			if n.Op != token.ADD {
				return true
			}
			words, between := added(n)
			put(at, words, yield)
			for _, x := range between {
				walkTexts(x, at, yield)
			}
			return false
		case *ast.BasicLit:
			if n.Kind == token.STRING {
				words, _ := strconv.Unquote(n.Value)
				put(at, words, yield)
			}
		}
		return true
	})
}

// added is a sum of literals and of what stands between them, as one text, and what that is.
func added(e ast.Expr) (words string, between []ast.Expr) {
	switch x := e.(type) {
	case *ast.BinaryExpr:
		if x.Op == token.ADD {
			a, left := added(x.X)
			b, right := added(x.Y)
			return strings.ReplaceAll(a+b, "……", "…"), append(left, right...)
		}
	case *ast.BasicLit:
		if x.Kind == token.STRING {
			words, _ := strconv.Unquote(x.Value)
			return words, nil
		}
	}
	return "…", []ast.Expr{e}
}

func put(at, words string, yield func(place, words string)) {
	like := readsLikeWords
	if wordFields[at] {
		like = aWord
	}
	if like.MatchString(words) && !aLayout.MatchString(words) && !anExample.MatchString(words) {
		yield(at, words)
	}
}

// parts of the list. The first is read aloud in one go.
var parts = []string{
	"1. AT THE BOARD, ON THE WALL AND ON THE SHEET",
	"2. AT THE SHELL",
	"3. CALCULATIONS: their working, tables and sources (mustwatch calc, and = at the board)",
	"4. A DAMAGED OR FOREIGN FILE, A LOST CONNECTION: errors that name what a programmer looks for",
}

// partOf is the part in which a text stands.
func partOf(x shownText) int {
	under := func(dirs ...string) bool {
		return slices.ContainsFunc(dirs, func(d string) bool { return strings.HasPrefix(x.file, d+"/") })
	}
	switch {
	case under("store", "domain/freeze", "domain/ledger", "domain/text") || strings.Contains(x.words, "%w"):
		return 3
	case under("domain/calc", "domain/must"):
		return 2
	case under("cmd"):
		return 1
	}
	return 0
}

// inHalfALine reports whether a text is a label or a piece, and stands on one line with others.
func inHalfALine(words string) bool {
	return !strings.ContainsAny(words, "\n|") && utf8.RuneCountInString(words) <= 46 &&
		!strings.HasSuffix(words, ".")
}

// listTexts writes the list: its head, and each part by package and file, sentences first and then what is short.
// What several places say stands where it is said first.
func listTexts(all []shownText) (list string, read int) {
	var b strings.Builder
	b.WriteString(`All that the program says. Written by go test ./domain -run TextsAreListed -update.

Read aloud what has changed. Part 1 is what people see at night: it is read in one go. Part 2 is for whoever sets the
board up, part 3 belongs beside the published tables, and nobody sees part 4 on a good night.
`)
	for _, p := range parts {
		b.WriteString("  " + p + "\n")
	}
	b.WriteString(`Names in {} and verbs with % are filled in; … is what is put in between. Sentences stand one a line; labels and
pieces of lines stand several a line with | between them. What several places say stands where it is said first.
Lines of the line format are left out: a test plays them.
`)
	seen := map[string]bool{}
	for part, title := range parts {
		b.WriteString("\n" + title + "\n")
		dir, file, short := "", "", []string(nil)
		flush := func() {
			b.WriteString(packed(short, 114))
			short = nil
		}
		for _, x := range all {
			words := strings.TrimSpace(x.words)
			if partOf(x) != part || seen[words] {
				continue
			}
			seen[words] = true
			if x.file != file { // a changed label moves no more than those of its file
				flush()
				file = x.file
			}
			if d := path.Dir(x.file); d != dir {
				dir = d
				b.WriteString("\n" + dir + "\n")
			}
			if inHalfALine(words) {
				short = append(short, words)
				continue
			}
			b.WriteString("  " + paragraphs.ReplaceAllString(words, "\n    ") + "\n")
		}
		flush()
		if part == 0 {
			read = strings.Count(b.String(), "\n")
		}
	}
	return b.String(), read
}

// packed are short texts, as many on a line as it has room for.
func packed(words []string, room int) string {
	var b strings.Builder
	line := ""
	for _, w := range words {
		if line != "" && utf8.RuneCountInString(line)+3+utf8.RuneCountInString(w) > room {
			b.WriteString("  " + line + "\n")
			line = ""
		}
		if line != "" {
			line += " | "
		}
		line += w
	}
	if line != "" {
		b.WriteString("  " + line + "\n")
	}
	return b.String()
}

// TestTheTextsAreListed writes down all that the program says, for somebody to read in one go, and holds the list
// to the source.
func TestTheTextsAreListed(t *testing.T) {
	is, read := listTexts(shownTexts(t))
	if read > mostRead {
		t.Errorf("part 1 has %d lines: nobody reads more than %d", read, mostRead)
	}
	for _, x := range shownTexts(t) {
		for _, l := range strings.Split(strings.TrimSpace(x.words), "\n") {
			if !strings.Contains(is, l) {
				t.Errorf("%s: %q is not listed", x.file, x.words)
			}
		}
	}
	if *update {
		if err := os.WriteFile(listed, []byte(is), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	was, err := os.ReadFile(listed)
	if err != nil {
		t.Fatal(err)
	}
	if is == string(was) {
		return
	}
	old := strings.Split(string(was), "\n")
	for _, l := range strings.Split(is, "\n") {
		if !slices.Contains(old, l) {
			t.Errorf("not in the list: %s", l)
		}
	}
	t.Errorf("texts have changed: read them, then go test ./domain -run TextsAreListed -update")
}
