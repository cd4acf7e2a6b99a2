package codec

import (
	"encoding/json"
	"fmt"
)

// upgrade rewrites the fact of one schema version as the next one has it.
type upgrade func(json.RawMessage) (json.RawMessage, error)

// upgrades holds, by kind and by the version it starts from, the step to the
// version after. A kind that a version did not change has no entry for it. The
// bytes in the journal stay as they were written: the step is taken on reading.
type upgrades map[string]map[int]upgrade

// lift takes a fact from the version it was written in to the version to.
func (u upgrades) lift(kind string, from, to int, fact json.RawMessage) (json.RawMessage, error) {
	steps := u[kind]
	for v := from; v < to; v++ {
		step, ok := steps[v]
		if !ok {
			continue
		}
		var err error
		if fact, err = step(fact); err != nil {
			return nil, fmt.Errorf("upgrade from version %d: %w", v, err)
		}
	}
	return fact, nil
}
