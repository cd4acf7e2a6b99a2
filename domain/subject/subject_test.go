package subject_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/subject"
)

// A subject is read as an object, as a kind and a name, or as a bare name, and is
// written as what it is.
func TestHowASubjectIsWritten(t *testing.T) {
	load := subject.Of(subject.Load, "74")
	for typed, want := range map[string]subject.Ref{
		`{"kind":"load","name":"74"}`: load, `"load 74"`: load, `"Load  74"`: load, `"74"`: subject.Bare("74"),
		`"the pump"`: subject.Bare("the pump"), `"place pump pit"`: subject.Of(subject.Place, "pump pit"),
		`"load"`: subject.Bare("load"), `""`: {},
	} {
		var got subject.Ref
		require.NoError(t, json.Unmarshal([]byte(typed), &got), typed)
		require.Equal(t, want, got, typed)
		out, err := json.Marshal(got)
		require.NoError(t, err)
		var again subject.Ref
		require.NoError(t, json.Unmarshal(out, &again), string(out))
		require.Equal(t, got, again, string(out))
	}
	out, err := json.Marshal(load)
	require.NoError(t, err)
	require.Equal(t, `{"kind":"load","name":"74"}`, string(out))
	for _, wrong := range []string{`{"kind":"barrel","name":"74"}`, `{"kind":"load","name":"74","of":1}`, `7`} {
		require.Error(t, json.Unmarshal([]byte(wrong), new(subject.Ref)), wrong)
	}
}

func TestWhatABareNameCanMean(t *testing.T) {
	tank, load := subject.Of(subject.Vessel, "74"), subject.Of(subject.Load, "74")
	require.NotEqual(t, tank, load)
	require.True(t, subject.Bare("74").Meets(tank))
	require.True(t, subject.Bare("74").Meets(load))
	require.True(t, load.Meets(load))
	require.False(t, load.Meets(tank))
	require.Equal(t, "74", load.String())
	require.Equal(t, load, subject.Parse(load.Full()))
}
