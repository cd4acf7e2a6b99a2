package entry

import (
	"maps"
	"slices"

	"cellar.example/mustwatch/tui/intent"
)

// FormKinds are the forms there are.
func FormKinds() []intent.Form { return slices.Sorted(maps.Keys(openers)) }
