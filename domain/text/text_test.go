package text_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

var (
	holds = text.New("test-holds", "{tank} holds {volume}, {share:%.0f} % of {tank}.")
	since = text.New("test-since", "Since {time}, says {who}.")
)

func TestSayNamesItsValuesInTheirOrder(t *testing.T) {
	s := holds.Say(subject.Of(subject.Vessel, "102"), 9*quantity.Hectolitre, 90.4)
	require.Equal(t, "vessel 102 holds 9 hL, 90 % of vessel 102.", s.In(text.Plain{}))
	require.Equal(t, "a {brace} and { alone", text.Of("a {{brace} and { alone").In(text.Plain{}))
	require.Equal(t, "{missing} stays", text.Of("{missing} stays").In(text.Plain{}))
}

func TestJoinLeavesOutWhatIsEmpty(t *testing.T) {
	s := text.Join("; ", text.Say{}, text.Words("one"), text.Say{}, text.Words("two"))
	require.Equal(t, "one; two", s.In(text.Plain{}))
	require.True(t, text.Join(" ", text.Say{}).IsZero())
	require.Equal(t, text.Words("one"), text.Join(" ", text.Words("one")))
}

// TestWhatIsSaidIsKeptAsCodeAndValues: the journal holds no sentence, and says the same when it is read again.
func TestWhatIsSaidIsKeptAsCodeAndValues(t *testing.T) {
	at := time.Date(2026, 9, 24, 20, 5, 0, 0, time.UTC)
	for want, s := range map[string]text.Say{
		`{"code":"test-since","with":{"time":{"time":"2026-09-24T20:05:00Z"},"who":"NS"}}`: since.Say(at, "NS"),
		`{"code":"test-holds","with":{"share":{"number":"90.4"},"tank":{"ref":"vessel 102"},` +
			`"volume":{"volume":"9 hL"}}}`: holds.Say(
			subject.Of(subject.Vessel, "102"), 9*quantity.Hectolitre, 90.4),
		`"as typed"`: text.Words("as typed"),
		`null`:       {},
		`{"between":" ","several":[{"code":"test-since","with":{"time":{"time":"2026-09-24T20:05:00Z"},` +
			`"who":{"code":"test-since","with":{"time":"?","who":""}}}},"typed"]}`: text.Join(" ",
			since.Say(at, since.Say("?", "")), text.Words("typed")),
	} {
		b, err := json.Marshal(s)
		require.NoError(t, err)
		require.Equal(t, want, string(b))
		var again text.Say
		require.NoError(t, json.Unmarshal(b, &again))
		require.Equal(t, s, again)
		require.True(t, s.Same(again))
		require.Equal(t, s.In(text.Plain{}), again.In(text.Plain{}))
	}
	_, err := json.Marshal(text.Of("{what} is not declared", 1))
	require.ErrorContains(t, err, "declare it with New")
	require.Error(t, json.Unmarshal([]byte(`{"code":3}`), new(text.Say)))
}

func TestACodeOfANewerProgramIsSaidWithItsValues(t *testing.T) {
	var s text.Say
	require.NoError(t, json.Unmarshal([]byte(`{"code":"of-tomorrow","with":{"tank":"102",`+
		`"time":{"time":"2026-09-24T20:05:00Z"}}}`), &s))
	require.Equal(t, "of-tomorrow tank=102 time=2026-09-24T20:05:00Z", s.In(text.Plain{}))
}

func TestEveryDeclaredTextIsListed(t *testing.T) {
	all := text.Declared()
	require.NotEmpty(t, all)
	for i := range all[1:] {
		require.Negative(t, strings.Compare(all[i][0], all[i+1][0]))
	}
	require.Panics(t, func() { text.New("test-holds", "again") })
}

// TestWhatIsSaidWithinIsTheSameReadBack: a text within a text is the same value when it is said and when a journal
// gives it back; a state that was kept compares them.
func TestWhatIsSaidWithinIsTheSameReadBack(t *testing.T) {
	within := text.New("test-within", "{line} and {more}")
	for _, inner := range []text.Say{text.Words("pump is loud"), {},
		text.Join(", ", text.Words("float"), text.Words("106")),
		text.New("test-inner", "{tank}").Say("106")} {
		said := within.Say(inner, "x")
		b, err := json.Marshal(said)
		require.NoError(t, err)
		var back text.Say
		require.NoError(t, json.Unmarshal(b, &back))
		require.Equal(t, said, back)
	}
	asks := text.New("test-asks", "{line}.", "Is it so?").Say(text.Join("; ", text.Words("103"), text.Words("104")))
	require.Equal(t, "103; 104.", asks.Seen().In(text.Plain{}), "a text of several things is seen as a whole")
}
