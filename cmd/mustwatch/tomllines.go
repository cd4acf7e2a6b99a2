package main

import (
	"fmt"

	"github.com/pelletier/go-toml/v2/unstable"
)

// lineMap tells on which line of a TOML document something stands, by its path:
// "house.zone", "opening.vessels[2].doses[0].rate". It exists so that a fault
// can be named by its line, long after the document was read.
type lineMap map[string]int

// linesOf maps a document that is known to parse.
func linesOf(doc []byte) lineMap {
	w := lineWalk{lines: lineMap{}, count: map[string]int{}}
	w.parser.Reset(doc)
	prefix := ""
	for w.parser.NextExpression() {
		switch node := w.parser.Expression(); node.Kind {
		case unstable.Table:
			prefix = w.open(node.Key(), false)
		case unstable.ArrayTable:
			prefix = w.open(node.Key(), true)
		case unstable.KeyValue:
			w.keyValue(prefix, node)
		}
	}
	return w.lines
}

type lineWalk struct {
	parser unstable.Parser
	lines  lineMap
	count  map[string]int // how many tables an array has by now
}

// open follows the header of a table to its path: each array on the way stands
// for its last table, and an array at the end gets one more.
func (w *lineWalk) open(keys unstable.Iterator, more bool) string {
	path := ""
	for keys.Next() {
		path = under(path, string(keys.Node().Data))
		line := w.line(keys.Node())
		if keys.IsLast() && more {
			w.note(path, line)
			w.count[path]++
		}
		if n := w.count[path]; n > 0 {
			path = nth(path, n-1)
		}
		w.note(path, line)
	}
	return path
}

func (w *lineWalk) keyValue(prefix string, node *unstable.Node) {
	path, line := prefix, 0
	for keys := node.Key(); keys.Next(); {
		path, line = under(path, string(keys.Node().Data)), w.line(keys.Node())
		w.note(path, line)
	}
	w.value(path, line, node.Value())
}

func (w *lineWalk) value(path string, line int, node *unstable.Node) {
	w.note(path, line)
	switch node.Kind {
	case unstable.Array:
		i := 0
		for kids := node.Children(); kids.Next(); {
			if kids.Node().Kind == unstable.Comment {
				continue
			}
			w.value(nth(path, i), line, kids.Node())
			i++
		}
	case unstable.InlineTable:
		for kids := node.Children(); kids.Next(); {
			if kids.Node().Kind == unstable.KeyValue {
				w.keyValue(path, kids.Node())
			}
		}
	}
}

func (w *lineWalk) note(path string, line int) {
	if _, known := w.lines[path]; !known {
		w.lines[path] = line
	}
}

func (w *lineWalk) line(node *unstable.Node) int {
	return w.parser.Shape(node.Raw).Start.Line
}

// at finds the line of a path, or of what it stands in.
func (m lineMap) at(path string) int {
	for path != "" {
		if line, ok := m[path]; ok {
			return line
		}
		i := len(path) - 1
		for i > 0 && path[i] != '.' && path[i] != '[' {
			i--
		}
		path = path[:i]
	}
	return 1
}

func under(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

func nth(path string, i int) string { return fmt.Sprintf("%s[%d]", path, i) }
