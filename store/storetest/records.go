package storetest

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
)

// Evening is an instant that the records of the tests are counted from.
var Evening = time.Date(2026, 10, 3, 19, 0, 0, 0, time.UTC)

// Note is a fact that carries a text and little else.
func Note(text string) cellar.Fact {
	return &cellar.Noted{Note: cellar.Note{ID: "n1", Subject: subject.Of(subject.House, "cellar"), Text: text,
		What: cellar.NoteInfo}}
}

// Text reads back what Note was given, of any record made from it.
func Text(t testing.TB, rec cellar.Record) string {
	t.Helper()
	note, ok := rec.Fact.(*cellar.Noted)
	require.True(t, ok, "record %d holds a %T", rec.Seq, rec.Fact)
	return note.Text
}

// Record is the nth record of a made-up night, with the text "entry n".
func Record(n int) cellar.Record {
	at := Evening.Add(time.Duration(n) * time.Minute)
	return cellar.Record{
		At: at, Written: at.Add(20 * time.Second), By: "KM", Station: "press hall",
		Fact: Note(fmt.Sprintf("entry %d", n)),
	}
}

// Fill appends the records from+1 to to, one at a time.
func Fill(t testing.TB, j cellar.Journal, from, to int) {
	t.Helper()
	for n := from + 1; n <= to; n++ {
		seq, err := j.Append(context.Background(), cellar.Seq(n-1), Record(n))
		require.NoError(t, err)
		require.Equal(t, cellar.Seq(n), seq)
	}
}

// Collect reads all records from a sequence on.
func Collect(t testing.TB, j cellar.Journal, from cellar.Seq) []cellar.Record {
	t.Helper()
	var out []cellar.Record
	err := j.Read(context.Background(), from, func(rec cellar.Record) error {
		out = append(out, rec)
		return nil
	})
	require.NoError(t, err)
	return out
}

// RequireFilled says that records are those that Fill wrote, from first on.
func RequireFilled(t testing.TB, recs []cellar.Record, first int) {
	t.Helper()
	for i, rec := range recs {
		want := Record(first + i)
		want.Seq = cellar.Seq(first + i)
		require.Equal(t, want, rec)
	}
}
