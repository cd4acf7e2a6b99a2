// Package domain_test holds the tests that look at the source itself: who may
// import whom, and how large things may grow. When one breaks, the design is
// asking to be changed, not the number.
package domain_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"
)

const module = "cellar.example/mustwatch/"

// The budgets. Tables of data, and packages that are lists of facts, commands,
// intents or words of the trade, are apart.
const (
	maxFile     = 600
	maxFunc     = 90
	maxCases    = 20
	maxExported = 45
	maxMain     = 60
	maxUpdate   = 40
	maxColumns  = 120 // a tab is 4 of them
)

var listPackages = map[string]bool{"domain/cellar": true, "tui/intent": true, "domain/stage": true}

// readers are the packages that read the state of the cellar and write nothing. They
// know the cellar and the small packages, and are known by faces, commands and each other.
var readers = map[string]bool{"domain/handover": true, "domain/show": true, "domain/room": true}

type source struct {
	path string // from the root, with slashes
	file *ast.File
	set  *token.FileSet
	rows int
}

func sources(t *testing.T) []source {
	t.Helper()
	var out []source
	err := filepath.WalkDir("..", func(p string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := d.Name()
		if d.IsDir() && p != ".." && (strings.HasPrefix(name, ".") || name == "testdata" && p != "../testdata") {
			return filepath.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(name, ".go") {
			return nil
		}
		text, err := os.ReadFile(p)
		if err != nil {
			return err
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, p, text, parser.ParseComments)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel("..", p)
		out = append(out, source{filepath.ToSlash(rel), f, set, strings.Count(string(text), "\n")})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(out) < 20 {
		t.Fatalf("only %d sources found: the test looks in the wrong place", len(out))
	}
	return out
}

func (s source) dir() string   { return filepath.ToSlash(filepath.Dir(s.path)) }
func (s source) isTest() bool  { return strings.HasSuffix(s.path, "_test.go") }
func (s source) line() int     { return s.rows }
func top(dir string) string    { return strings.SplitN(dir, "/", 2)[0] }
func standard(imp string) bool { return !strings.Contains(strings.SplitN(imp, "/", 2)[0], ".") }

func TestImportsPointOneWay(t *testing.T) {
	for _, s := range sources(t) {
		if s.isTest() {
			continue
		}
		for _, spec := range s.file.Imports {
			imp, _ := strconv.Unquote(spec.Path.Value)
			if why := forbidden(s.dir(), imp); why != "" {
				t.Errorf("%s imports %s: %s", s.path, imp, why)
			}
		}
	}
}

// forbidden says why a package may not import another, "" when it may.
func forbidden(dir, imp string) string {
	if !strings.HasPrefix(imp, module) {
		return forbiddenOutside(dir, imp)
	}
	to := strings.TrimPrefix(imp, module)
	allowed := map[string][]string{"cmd": {"cmd", "tui", "store", "domain", "testdata"}, "tui": {"tui", "domain"},
		"store": {"store", "domain"}, "domain": {"domain"}, "testdata": {"testdata"}}
	ok := false
	for _, a := range allowed[top(dir)] {
		ok = ok || a == top(to)
	}
	switch {
	case !ok:
		return top(dir) + " may not know " + top(to)
	case readers[to] && top(dir) == "domain" && !readers[dir]:
		return "nothing in the domain knows who reads the cellar"
	case top(dir) == "domain" && dir != "domain/cellar" && !readers[dir] && to == "domain/cellar":
		return "the small packages do not know the cellar"
	case isLeaf(dir) && (strings.HasPrefix(to, "tui/screen") || to == "tui"):
		return "the parts do not know the screens"
	case strings.HasPrefix(dir, "tui/screen/") && strings.HasPrefix(to, "tui/screen/") && dir != to:
		return "screens do not know each other"
	}
	return ""
}

func isLeaf(dir string) bool {
	switch dir {
	case "tui/widget", "tui/layout", "tui/cell", "tui/intent", "tui/keys", "tui/theme", "tui/face", "tui/entry",
		"tui/overlay", "tui/paper":
		return true
	}
	return false
}

func forbiddenOutside(dir, imp string) string {
	if top(dir) != "domain" {
		return ""
	}
	if !standard(imp) {
		return "the domain uses the standard library only"
	}
	for _, bad := range []string{"os", "net", "log", "os/exec", "net/http", "log/slog", "io/fs", "syscall"} {
		if imp == bad {
			return "the domain knows no files, nets or logs"
		}
	}
	return ""
}

// TestTypedNumbersGoOneWay: quantity.Habit.Number is the only rule for a number that is
// typed, so nothing else turns text into one. What the journal keeps and what a
// program has printed is no typed text.
func TestTypedNumbersGoOneWay(t *testing.T) {
	own := map[string]bool{"domain/cellar/correct.go": true, "domain/cellar/correctrules.go": true,
		"domain/calc/dose.go": true}
	for _, s := range sources(t) {
		if s.isTest() || s.dir() == "domain/quantity" || own[s.path] || top(s.dir()) == "store" ||
			top(s.dir()) == "testdata" {
			continue
		}
		ast.Inspect(s.file, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			switch sel.Sel.Name {
			case "ParseFloat", "Sscan", "Sscanf", "Fscan", "SetString":
				if pkg, ok := sel.X.(*ast.Ident); ok && (pkg.Name == "strconv" || pkg.Name == "fmt") {
					t.Errorf("%s: read a typed number with quantity.Habit.Number", s.set.Position(n.Pos()))
				}
			}
			return true
		})
	}
}

func TestTheDomainNeverReadsAClock(t *testing.T) {
	for _, s := range sources(t) {
		if top(s.dir()) != "domain" || s.isTest() {
			continue
		}
		ast.Inspect(s.file, func(n ast.Node) bool {
			sel, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			pkg, ok := sel.X.(*ast.Ident)
			if ok && pkg.Name == "time" && strings.Contains(" Now Since Until After Tick NewTimer AfterFunc Sleep ",
				" "+sel.Sel.Name+" ") {
				t.Errorf("%s: time.%s in the domain", s.set.Position(n.Pos()), sel.Sel.Name)
			}
			return true
		})
	}
}

func TestSizeBudgets(t *testing.T) {
	exported := map[string]map[string]bool{}
	for _, s := range sources(t) {
		if s.isTest() {
			continue
		}
		if s.line() > maxFile {
			t.Errorf("%s has %d lines, the budget is %d", s.path, s.line(), maxFile)
		}
		if s.path == "cmd/mustwatch/main.go" && s.line() > maxMain {
			t.Errorf("%s has %d lines, the budget is %d", s.path, s.line(), maxMain)
		}
		checkFuncs(t, s)
		if exported[s.dir()] == nil {
			exported[s.dir()] = map[string]bool{}
		}
		for name := range exportedNames(s.file) {
			exported[s.dir()][name] = true
		}
	}
	for dir, names := range exported {
		if n := len(names); n > maxExported && !listPackages[dir] {
			t.Errorf("%s exports %d names, the budget is %d", dir, n, maxExported)
		}
	}
}

func checkFuncs(t *testing.T, s source) {
	for _, d := range s.file.Decls {
		f, ok := d.(*ast.FuncDecl)
		if !ok || f.Body == nil {
			continue
		}
		n := s.set.Position(f.End()).Line - s.set.Position(f.Pos()).Line + 1
		limit := maxFunc
		if f.Name.Name == "Update" && s.path == "tui/root.go" {
			limit = maxUpdate
		}
		if n > limit {
			t.Errorf("%s: %s has %d lines, the budget is %d", s.set.Position(f.Pos()), f.Name.Name, n, limit)
		}
		ast.Inspect(f.Body, func(n ast.Node) bool {
			var body *ast.BlockStmt
			switch x := n.(type) {
			case *ast.SwitchStmt:
				body = x.Body
			case *ast.TypeSwitchStmt:
				body = x.Body
			}
			if body != nil && len(body.List) > maxCases {
				t.Errorf("%s: a switch with %d cases, the budget is %d", s.set.Position(n.Pos()), len(body.List),
					maxCases)
			}
			return true
		})
	}
}

// exportedNames are the types, functions, constants and variables of a file
// that other packages see; methods and fields belong to their type.
func exportedNames(f *ast.File) map[string]bool {
	out := map[string]bool{}
	for _, d := range f.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if d.Recv == nil && d.Name.IsExported() {
				out[d.Name.Name] = true
			}
		case *ast.GenDecl:
			for _, spec := range d.Specs {
				switch x := spec.(type) {
				case *ast.TypeSpec:
					if x.Name.IsExported() {
						out[x.Name.Name] = true
					}
				case *ast.ValueSpec:
					for _, n := range x.Names {
						if n.IsExported() {
							out[n.Name] = true
						}
					}
				}
			}
		}
	}
	return out
}

// TestEveryPackageSaysWhatItIsFor: each package of the program has its comment.
func TestEveryPackageSaysWhatItIsFor(t *testing.T) {
	said := map[string]bool{}
	for _, s := range sources(t) {
		if !s.isTest() {
			said[s.dir()] = said[s.dir()] || s.file.Doc != nil
		}
	}
	var missing []string
	for dir, ok := range said {
		if !ok {
			missing = append(missing, dir)
		}
	}
	sort.Strings(missing)
	if len(missing) > 0 {
		t.Errorf("no package comment in %v", missing)
	}
}

// TestTheTopLevelHoldsWhatItMay: a stray file there is committed sooner or later.
func TestTheTopLevelHoldsWhatItMay(t *testing.T) {
	may := map[string]bool{"cmd": true, "tui": true, "store": true, "domain": true, "testdata": true,
		"go.mod": true, "go.sum": true, "README.md": true, "DEVELOPERS.md": true, "LICENSE": true}
	all, err := os.ReadDir("..")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range all {
		if !may[e.Name()] && !strings.HasPrefix(e.Name(), ".") {
			t.Errorf("%s does not belong at the top level", e.Name())
		}
	}
}

// TestLinesAreReadInOneLook: no line is wider than the budget, but for one that quotes a
// file or a line of the line format as it is, in a raw string.
func TestLinesAreReadInOneLook(t *testing.T) {
	for _, s := range sources(t) {
		quoted := map[int]bool{}
		ast.Inspect(s.file, func(n ast.Node) bool {
			if l, ok := n.(*ast.BasicLit); ok && l.Value[0] == '`' && len(l.Value) > maxColumns/2 {
				for i := s.set.Position(l.Pos()).Line; i <= s.set.Position(l.End()).Line; i++ {
					quoted[i] = true
				}
			}
			return true
		})
		text, err := os.ReadFile(filepath.Join("..", s.path))
		if err != nil {
			t.Fatal(err)
		}
		for i, line := range strings.Split(string(text), "\n") {
			wide := utf8.RuneCountInString(line) + 3*strings.Count(line, "\t")
			if wide > maxColumns && !quoted[i+1] {
				t.Errorf("%s:%d has %d columns, more than %d", s.path, i+1, wide, maxColumns)
			}
		}
	}
}
