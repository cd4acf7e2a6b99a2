package machine

import (
	"time"

	"cellar.example/mustwatch/domain/clocks"
)

// begun carries the monotonic reading that later ones are counted from.
var begun = time.Now()

// awakeOnly is what can be known without a clock that counts sleep: the wall, and
// the time since the program began.
func awakeOnly() clocks.Sample {
	now := time.Now()
	ran := now.Sub(begun)
	return clocks.Sample{Wall: now, Boot: ran, Mono: ran}
}
