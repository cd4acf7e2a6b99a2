package cellar

import (
	"reflect"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/gate"
)

func codesOf[T any](rules table[T]) (out []gate.Code) {
	for _, r := range rules {
		out = append(out, r.Code)
	}
	return out
}

// TestRulesStandInTheTableOfTheirAttempt: whoever is asked several things is asked them
// in one order, whatever is tried, and no rule is listed that no attempt asks.
func TestRulesStandInTheTableOfTheirAttempt(t *testing.T) {
	asked := map[gate.Code]bool{}
	for what, codes := range map[string][]gate.Code{
		"a move": codesOf(moveRules), "juice of a press": codesOf(juiceRules), "a load all in": codesOf(tippedRules),
		"a load": codesOf(loadRules), "tipping into a press": codesOf(pressTipRules),
		"tipping into a vessel": codesOf(vesselTipRules),
		"a programme":           codesOf(programmeRules), "a press that goes on": codesOf(goRules),
		"the end of a programme": codesOf(endRules),
		"a press called empty":   codesOf(emptyRules), "a dose": codesOf(doseRules), "a stage": codesOf(stageRules),
		"a check": codesOf(checkRules), "a check that is read": codesOf(verdictRules), "a reading": codesOf(readRules),
		"an entry": codesOf(entryRules), "an attendant who goes": codesOf(leaveRules),
		"the end of an emergency": codesOf(calmRules),
		"a handover":              codesOf(shiftRules), "a correction": codesOf(mendRules),
	} {
		last := -1
		for _, c := range codes {
			at := slices.IndexFunc(ruleNames, func(r RuleName) bool { return r.Code == c })
			require.Greater(t, at, last, "%s: %s stands out of the order of the list, twice, or not in it", what, c)
			last, asked[c] = at, true
		}
		require.NotEmpty(t, codes, what)
	}
	for _, r := range ruleNames {
		require.True(t, asked[r.Code], "%s, %s, is asked by no attempt", r.Code, r.Title)
	}
}

// TestAnAttemptHasOnlyWhatItsRulesLookAt: what is tried is told by its type, never by
// which of its fields are set.
func TestAnAttemptHasOnlyWhatItsRulesLookAt(t *testing.T) {
	for what, try := range map[string]any{"a move": moveTry{}, "a programme": programmeTry{}, "a stage": stageTry{},
		"a check":              checkTry{},
		"a check that is read": verdictTry{}, "a reading": readTry{}, "an entry": entryTry{}, "a correction": mendTry{},
		"a dose": doseTry{}} {
		require.LessOrEqual(t, reflect.TypeOf(try).NumField(), 12, what)
	}
}
