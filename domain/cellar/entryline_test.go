package cellar_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/caution"
)

// TestTheEntryLineComesInParts: who and why are handed out, so that no face looks for them in a sentence.
func TestTheEntryLineComesInParts(t *testing.T) {
	h := openHouse(t)
	parts := func(hm string) (head, why string, noPermit bool) {
		e := h.s.Entry(at(hm))
		return h.s.Words(e.Head()), h.s.Words(e.Why()), e.NoPermit()
	}
	head, why, none := parts("20:00")
	require.Equal(t, []any{"NO TANK ENTRY", "no live permit", true}, []any{head, why, none})
	require.Equal(t, caution.NoEntry.Text(), head+": "+why, "the parts are those of the standing caution")
	h.say(t, gasOf307, permitOf307)
	head, why, none = parts("20:12")
	require.Equal(t, []any{"NO TANK ENTRY EXCEPT UNDER PERMIT 17 (307, NS, attendant OF, until 21:30)", "", false},
		[]any{head, why, none})
	h.say(t, intoOf307)
	head, why, none = parts("21:31")
	require.Equal(t, []any{"NS WENT INTO 307 AND PERMIT 17 ENDED", "GET HELP, STAY OUT. NOBODY ENTERS", false},
		[]any{head, why, none})
	require.Len(t, h.s.Entry(at("21:31")).Perils, 1)
	require.True(t, h.s.Entry(at("21:31")).Perils[0].Permit)
}
