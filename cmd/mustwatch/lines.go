package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/text"
)

// maxLine is the longest line that is read: a house of several hundred tanks
// opens in less. What is longer is no entry.
const maxLine = 1 << 20

// line is one line of a file of entries.
type line struct {
	no   int // from 1
	text []byte
	err  error // why it is none
}

// named is how a line is spoken of: by its number and, where it has one, by the id that
// its sender gave it. What is refused in a batch is named by the id of its own line too.
func (l line) named(err error) string {
	out := fmt.Sprintf("line %d", l.no)
	var said struct {
		ID    string
		Lines []struct{ ID string }
	}
	if json.Unmarshal(l.text, &said) != nil { // it has no id that can be read
		return out
	}
	ids := make([]string, 0, 2)
	if said.ID != "" {
		ids = append(ids, said.ID)
	}
	var no *cellar.Rejection
	if errors.As(err, &no) {
		for i, part := range said.Lines {
			if part.ID != "" && strings.HasPrefix(no.Field, fmt.Sprintf("lines[%d]", i)) {
				ids = append(ids, part.ID)
			}
		}
	}
	if len(ids) > 0 {
		out += " (" + strings.Join(ids, ", ") + ")"
	}
	return out
}

// errNoText says that a file is not made of lines of text at all.
var errNoText = errors.New("is no text file; it takes lines of JSON, in UTF-8")

// readLines hands each entry in r to do, in order, until do returns false or r
// ends. Empty lines and lines that begin with # are passed over. A line that
// is no text goes to do as well, with the reason. The error is errNoText, or
// what reading came to.
func readLines(r io.Reader, do func(line) bool) error {
	in := bufio.NewReaderSize(r, 64<<10)
	for no := 1; ; no++ {
		text, long, err := nextLine(in)
		if no == 1 {
			if bytes.HasPrefix(text, []byte{0xff, 0xfe}) || bytes.HasPrefix(text, []byte{0xfe, 0xff}) {
				return errNoText
			}
			text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))
		}
		one := line{no: no}
		switch text = bytes.TrimSpace(text); {
		case long:
			one.err = errors.New(sentence("this line is longer than {most} bytes; an entry is one short line", maxLine))
		case len(text) == 0 || text[0] == '#':
		case !isText(text):
			if no == 1 {
				return errNoText
			}
			one.err = errors.New("this line holds bytes that are no text")
		default:
			one.text = text
		}
		if (one.text != nil || one.err != nil) && !do(one) {
			return nil
		}
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return fmt.Errorf("read line %d: %w", no, err)
		}
	}
}

// nextLine reads to the end of a line, and no more of a long one than to know
// that it is.
func nextLine(in *bufio.Reader) (text []byte, long bool, err error) {
	for {
		part, err := in.ReadSlice('\n')
		if long = long || len(text)+len(part) > maxLine; long {
			text = nil
		} else {
			text = append(text, part...)
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return text, long, err
		}
	}
}

func isText(b []byte) bool { return utf8.Valid(b) && bytes.IndexByte(b, 0) < 0 }

// command reads the entry of a line as a house writes its numbers, and refuses what a
// screen could not show. The error is a *cellar.Rejection where a field is at fault.
func (l line) command(h cellar.House) (cellar.Command, error) {
	if l.err != nil {
		return nil, l.err
	}
	c, err := h.ParseLine(l.text)
	if err != nil {
		return nil, err
	}
	// Written out again, whatever was hidden in escapes is a character like any
	// other, and the names of the fields are the ones a person knows.
	plain, err := cellar.FormatLine(c)
	if err != nil {
		return nil, err
	}
	if field, r, bad := hiddenIn(plain); bad {
		return nil, &cellar.Rejection{Code: "text", Field: field,
			Say: text.Of("{code} is a character that cannot be shown; leave it out", fmt.Sprintf("%U", r))}
	}
	return c, nil
}
