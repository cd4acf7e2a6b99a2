package strength

import (
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestPublishedR22Coefficients holds the table of the package against the copy in
// testdata, number by number.
func TestPublishedR22Coefficients(t *testing.T) {
	text, err := os.ReadFile("../../../testdata/published/r22_coefficients.csv")
	require.NoError(t, err)
	source, _, _ := strings.Cut(string(text), "\n")
	r := csv.NewReader(strings.NewReader(string(text)))
	r.Comment = '#'
	all, err := r.ReadAll()
	require.NoError(t, err)
	for _, row := range all[1:] {
		want, err := strconv.ParseFloat(row[3], 64)
		require.NoError(t, err)
		k, err := strconv.Atoi(row[2])
		require.NoError(t, err)
		switch row[0] {
		case "A":
			require.Equal(t, want, r22A[k-1])
		case "B":
			require.Equal(t, want, r22B[k-1])
		default:
			i, err := strconv.Atoi(row[1])
			require.NoError(t, err)
			require.Equal(t, want, r22C[i-1][k-1])
		}
	}
	held := len(r22A) + len(r22B)
	for _, row := range r22C {
		held += len(row)
	}
	require.Equal(t, len(all)-1, held)
	t.Logf("%s; rows %d; worst error 0", strings.TrimPrefix(source, "# "), held)
}
