package gate_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

func may(who string, r gate.Right) bool {
	return r == gate.Anyone || who == "OF" || who == "MA" && r == gate.Lead
}

func TestSettle(t *testing.T) {
	stop := gate.Finding{Rule: "H1", Right: gate.Lead, Second: true, Reason: true, Say: text.Of("No.")}
	for _, c := range []struct {
		name    string
		finding gate.Finding
		answers []gate.Answer
		lacks   string // "" = settled
	}{
		{"nothing said", stop, nil, "No."},
		{"to another rule", stop, []gate.Answer{{Rule: "H2", By: "MA", Second: "NS", Reason: "x"}}, "No."},
		{"by somebody without the right", stop, []gate.Answer{{Rule: "H1", By: "NS", Second: "MA", Reason: "x"}},
			"NS cannot"},
		{"without a second person", stop, []gate.Answer{{Rule: "H1", By: "MA", Reason: "x"}}, "second person"},
		{"seconded by oneself", stop, []gate.Answer{{Rule: "H1", By: "MA", Second: "MA", Reason: "x"}},
			"second person"},
		{"without a reason", stop, []gate.Answer{{Rule: "H1", By: "MA", Second: "NS"}}, "Say why"},
		{"as it should be", stop, []gate.Answer{{Rule: "H1", By: "MA", Second: "NS", Reason: "x"}}, ""},
		{"by the writer, unnamed", gate.Finding{Rule: "H1", Right: gate.Lead, Say: text.Of("No.")},
			[]gate.Answer{{Rule: "H1"}}, ""},
		{"a warning by anyone", gate.Finding{Rule: "W1", Right: gate.Anyone}, []gate.Answer{{Rule: "W1", By: "NS"}},
			""},
		{"what no word lifts", gate.Finding{Rule: "H1", Right: gate.Nobody}, []gate.Answer{{Rule: "H1", By: "OF",
			Second: "MA", Reason: "x"}}, "This cannot be overridden."},
		{"a hold, by its releaser", gate.Finding{Rule: "H15", Right: gate.Releaser, Person: "OF"},
			[]gate.Answer{{Rule: "H15", By: "OF"}}, ""},
		{"over a hold, by somebody else", gate.Finding{Rule: "H15", Right: gate.Releaser, Person: "OF"},
			[]gate.Answer{{Rule: "H15", By: "MA", Second: "NS"}}, "Only OF"},
		{"a hold, by a hand", gate.Finding{Rule: "H15", Right: gate.Ends, Person: "OF"},
			[]gate.Answer{{Rule: "H15", By: "NS", Second: "MA"}}, "Only OF"},
		{"a hold, by a lead alone", gate.Finding{Rule: "H15", Right: gate.Ends, Person: "XX"},
			[]gate.Answer{{Rule: "H15", By: "MA"}}, "second person"},
		{"a hold, by a lead with a second person", gate.Finding{Rule: "H15", Right: gate.Ends, Person: "XX"},
			[]gate.Answer{{Rule: "H15", By: "MA", Second: "NS"}}, ""},
		{"a hold, by the winemaker", gate.Finding{Rule: "H15", Right: gate.Ends, Person: "XX"},
			[]gate.Answer{{Rule: "H15", By: "OF"}}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			done, open := gate.Settle([]gate.Finding{c.finding}, c.answers, "MA", may)
			if c.lacks == "" {
				require.Len(t, done, 1)
				require.Empty(t, open)
				require.NotEmpty(t, done[0].Answer.By)
				return
			}
			require.Len(t, open, 1)
			require.Contains(t, open[0].Whole().In(text.Plain{}), c.lacks)
		})
	}
}

func TestFindingsCarryTheCodeOfTheirRule(t *testing.T) {
	table := gate.Table[int, string]{
		{Code: "H1", Find: func(n int, _ string) []gate.Finding {
			if n > 1 {
				return []gate.Finding{{Right: gate.Lead}, {Right: gate.Anyone}}
			}
			return nil
		}},
		{Code: "W2", Find: func(int, string) []gate.Finding { return []gate.Finding{{Right: gate.Anyone}} }},
	}
	require.Len(t, table.Ask(1, "tonight"), 1)
	found := table.Ask(2, "tonight")
	require.Equal(t, []gate.Code{"H1", "H1", "W2"}, []gate.Code{found[0].Rule, found[1].Rule, found[2].Rule})
	require.True(t, found[0].Stop())
	require.False(t, found[1].Stop())
}

// An answer belongs to one finding, not to every finding of its rule.
func TestAnAnswerBelongsToOneFinding(t *testing.T) {
	tank := func(name string) subject.Ref { return subject.Of(subject.Vessel, name) }
	found := []gate.Finding{
		{Rule: "H1", Of: tank("211"), Field: "to", Right: gate.Lead, Say: text.Of("211 is dirty.")},
		{Rule: "H1", Of: tank("212"), Field: "to", Right: gate.Lead, Say: text.Of("212 is dirty.")},
		{Rule: "H1", Of: subject.Of(subject.Load, "212"), Field: "to", Right: gate.Lead,
			Say: text.Of("load 212 is old.")},
		{Rule: "W2", Of: tank("211"), Field: "taken", Right: gate.Anyone, Say: text.Of("old")},
		{Rule: "W2", Of: tank("211"), Field: "opened", Right: gate.Anyone, Say: text.Of("opened often")},
		{Rule: "W3", Of: tank("211"), Right: gate.Anyone, Say: text.Of("cold")},
	}
	for name, c := range map[string]struct {
		answer gate.Answer
		done   string // the one message that it settles, "" for none
	}{
		"the rule alone, of one finding":   {gate.Answer{Rule: "W3"}, "cold"},
		"the rule alone, of several":       {gate.Answer{Rule: "H1"}, ""},
		"by a name that one has":           {gate.Answer{Rule: "H1", Of: subject.Bare("211")}, "211 is dirty."},
		"by a name that two have":          {gate.Answer{Rule: "H1", Of: subject.Bare("212")}, ""},
		"by kind and name":                 {gate.Answer{Rule: "H1", Of: tank("212")}, "212 is dirty."},
		"by the name, of two at one thing": {gate.Answer{Rule: "W2", Of: tank("211")}, ""},
		"by the field":                     {gate.Answer{Rule: "W2", Field: "opened"}, "opened often"},
		"to what nothing is found of":      {gate.Answer{Rule: "W3", Of: tank("212")}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			done, open := gate.Settle(found, []gate.Answer{c.answer}, "MA", may)
			require.Len(t, open, len(found)-len(done))
			if c.done == "" {
				require.Empty(t, done)
				return
			}
			require.Len(t, done, 1)
			require.Equal(t, c.done, done[0].Finding.Say.In(text.Plain{}))
		})
	}
	_, open := gate.Settle(found[:2], []gate.Answer{{Rule: "H1"}}, "MA", may)
	require.Contains(t, open[0].Whole().In(text.Plain{}), "say which one")
	done, open := gate.Settle(found[:2], []gate.Answer{{Rule: "H1", Of: tank("212")}, {Rule: "H1", Of: tank("211")}},
		"MA", may)
	require.Empty(t, open)
	require.Equal(t, tank("211"), done[0].Answer.Of)
}
