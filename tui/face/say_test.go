package face

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// TestSayTellsTheDay: an instant in a sentence has its weekday where it is another day, as everywhere on a face.
func TestSayTellsTheDay(t *testing.T) {
	now := time.Date(2026, 9, 24, 22, 0, 0, 0, time.UTC)
	g := Sight{State: cellar.NewState(), Now: now}
	require.Equal(t, "104 from 23:10", g.Say("{tank} from {time}", "104", now.Add(70*time.Minute)))
	require.Equal(t, "104 from Sat 26 Sep 23:10",
		g.Say("{tank} from {time}", "104", now.Add(49*time.Hour+10*time.Minute)))
}
