package tui

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// What no hand types at once is left out, with what follows on it; a marked paste and
// quick typing pass.
func TestItem19WhatNoHandTypes(t *testing.T) {
	for _, c := range []struct {
		name  string
		reads []string
		want  string
		drops []int
	}{
		{"typing", []string{"102r", "14.2\r"}, "102r14.2\r", nil},
		{"sixteen at once", []string{"102r14.2\r1234567"}, "102r14.2\r1234567", nil},
		{"seventeen at once", []string{"102r14.2\r12345678"}, "", []int{17}},
		{"seventeen without Enter", []string{"hoses in the rack"}, "hoses in the rack", nil},
		{"a line feed is an Enter too", []string{"102m209\t30\nqqqqqq"}, "", []int{17}},
		{"arrows count once each", []string{strings.Repeat("\x1b[B", 15) + "\r"}, strings.Repeat("\x1b[B", 15) + "\r",
			nil},
		{"letters of two bytes count once", []string{"Gewürztraminer é\r"}, "", []int{17}},
		{"the rest of it", []string{"102n first line of a text\r", "q\r"}, "", []int{26, 2}},
		{"more than one read takes", []string{strings.Repeat("x", 256)}, "", []int{256}},
		{"a marked paste", []string{"\x1b[200~102n first\rq y line\r\x1b[201~"},
			"\x1b[200~102n first\rq y line\r\x1b[201~", nil},
		{"a marked paste in parts", []string{"\x1b[200~first line of it\r", "second line of all that\r",
			"third\x1b[201~"},
			"\x1b[200~first line of it\rsecond line of all that\rthird\x1b[201~", nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, w, err := os.Pipe()
			require.NoError(t, err)
			defer r.Close()
			defer w.Close()
			var drops []int
			k := &keyboard{File: r, dropped: func(n int) { drops = append(drops, n) }}
			got := ""
			for _, x := range c.reads {
				_, err := w.WriteString(x)
				require.NoError(t, err)
				b := make([]byte, 256)
				n, err := k.Read(b)
				require.NoError(t, err)
				got += string(b[:n])
			}
			require.Equal(t, c.want, got)
			require.Equal(t, c.drops, drops)
		})
	}
}
