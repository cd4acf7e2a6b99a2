package must_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/must"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/testdata/tables"
)

// half is half a unit of the last digit printed, with room for the float.
func half(printed string) float64 {
	_, decimals, _ := strings.Cut(printed, ".")
	return 0.5000001 * math.Pow10(-len(decimals))
}

// near checks a figure against a printed one to the last printed digit, and keeps
// the worst error.
func near(t *testing.T, printed string, got float64, worst *float64, of ...any) {
	t.Helper()
	off := math.Abs(got - tables.Number(t, printed))
	if !assert.LessOrEqual(t, off, half(printed), of...) {
		t.Logf("printed %s, got %g", printed, got)
	}
	*worst = max(*worst, off)
}

func convert(t testing.TB, value float64, scale must.Scale) must.Scales {
	t.Helper()
	s, err := must.Convert(must.Reading{Value: value, Scale: scale})
	require.NoError(t, err)
	return s
}

// TestPublishedOIVTable checks every row of the table of must through the
// conversion, forwards and backwards. Source: OIV-MA-AS2-02 Table II, read.
func TestPublishedOIVTable(t *testing.T) {
	source, rows := tables.Published(t, "oiv_as2_02_table2_10_30.csv")
	require.Len(t, rows, 201)
	var worst, back float64
	for _, r := range rows {
		b := tables.Number(t, r["brix_pct_mass"])
		s := convert(t, b, must.Brix)
		near(t, r["must_density_kg_per_L"], s.Density.Value, &worst, b)
		near(t, r["sugar_g_per_L"], s.Sugar.Value, &worst, b)
		near(t, r["sugar_g_per_kg"], s.SugarMass.Value, &worst, b)
		near(t, r["nD20"], s.Index.Value, &worst, b)
		require.False(t, s.Density.Extrapolated || s.Sugar.Extrapolated, "%g", b)
		for scale, x := range map[must.Scale]string{
			must.Density: r["must_density_kg_per_L"], must.Sugar: r["sugar_g_per_L"],
			must.SugarPer: r["sugar_g_per_kg"],
		} {
			again := convert(t, tables.Number(t, x), scale)
			require.True(t, again.Brix.Known)
			back = max(back, math.Abs(again.Brix.Value-b))
		}
	}
	require.Less(t, back, 1e-6)
	t.Logf("source: %s; rows %d, five columns; worst error %.1e, read backwards %.1e °Brix", source, len(rows), worst,
		back)
}

// TestPublishedPotentialAlcohol checks the two columns of % vol that the arrêté
// prints beside the table. Row 24.8 prints 14.2 where 247.1 / 17.5 is 14.12: a
// printing error of the source, counted apart.
func TestPublishedPotentialAlcohol(t *testing.T) {
	source, rows := tables.Published(t, "oiv_as2_02_table2_10_30.csv")
	var by1683, by175 float64
	checked, misprints, beyondDigit := 0, 0, 0
	for _, r := range rows {
		s := convert(t, tables.Number(t, r["brix_pct_mass"]), must.Brix)
		f, err := must.Potential(s, must.By1683)
		require.NoError(t, err)
		// The column was made of sugar with more digits than it prints: half a tenth
		// of a gram is 0.003 % vol on top of half the last digit.
		off := math.Abs(f.Value - tables.Number(t, r["abv_16_83"]))
		require.LessOrEqual(t, off, 0.0103, r["brix_pct_mass"])
		if off > half("0.00") {
			beyondDigit++
		}
		by1683 = max(by1683, off)
		checked++
		if r["abv_17_5"] == "" {
			continue
		}
		f, err = must.Potential(s, must.By175)
		require.NoError(t, err)
		off = math.Abs(f.Value - tables.Number(t, r["abv_17_5"]))
		checked++
		if r["brix_pct_mass"] == "24.8" {
			misprints++
			require.InDelta(t, 14.12, f.Value, 0.005)
			continue
		}
		require.LessOrEqual(t, off, 0.101, r["brix_pct_mass"])
		by175 = max(by175, off)
	}
	require.Equal(t, 1, misprints)
	t.Logf("source: %s; cells %d; worst error 16.83 %.4f %% vol (%d rows of 201 off by more than half the last "+
		"digit), 17.5 %.3f %% vol (the column is cut, not rounded), misprint of row 24.8 apart", source, checked,
		by1683, beyondDigit, by175)
}

// TestPublishedScales checks all columns of the table of scales at once, rows 0 to
// 40 °Brix. Sources stand in its first line, by column.
func TestPublishedScales(t *testing.T) {
	source, rows := tables.Published(t, "must_scales_0_40.csv")
	var worst, rough float64
	cells := 0
	for _, r := range rows {
		b := quantity.Brix(tables.Number(t, r["brix"]))
		sg, err := must.SucroseSG(b)
		require.NoError(t, err)
		near(t, r["sg_sucrose_20_20_app"], sg, &worst, b)
		rho, err := must.SucroseDensity(b, 20)
		require.NoError(t, err)
		near(t, r["rho_sucrose_true_kg_m3"], rho, &worst, b)
		near(t, r["oe_sucrose"], convert(t, sg, must.SG).Oechsle.Value, &worst, b)
		near(t, r["baume145_calc"], convert(t, sg, must.SG).Baume.Value, &worst, b)
		cells += 4
		s := convert(t, float64(b), must.Brix)
		if r["oe_must"] == "" { // outside the table of must
			near(t, r["kmw_calc"], convert(t, sg, must.SG).KMW.Value, &worst, b)
			cells++
			continue
		}
		for column, f := range map[string]must.Figure{"rho_must_kg_L": s.Density, "oe_must": s.Oechsle,
			"sugar_g_L": s.Sugar, "sugar_g_kg": s.SugarMass, "nD20": s.Index} {
			require.True(t, f.Known)
			near(t, r[column], f.Value, &worst, column, b)
			cells++
		}
		// The table took °KMW from °Oe rounded to a tenth: 0.02 °KMW.
		rough = max(rough, math.Abs(s.KMW.Value-tables.Number(t, r["kmw_calc"])))
		f, err := must.Potential(s, must.By17)
		require.NoError(t, err)
		near(t, r["abv_17_calc"], f.Value, &worst, b)
		f, err = must.Potential(s, must.ByGerman)
		require.NoError(t, err)
		require.Equal(t, tables.Number(t, r["abv_weinv_anlage8"]), f.Value, b)
		cells += 3
	}
	require.Less(t, rough, 0.021)
	t.Logf("source: %s; rows %d, cells %d; worst error %.1e, °KMW %.3f", source, len(rows), cells, worst, rough)
}

// TestPublishedSucrose checks every row of C440 forwards and backwards, and prints
// what the two formulas that could stand in for it would miss.
func TestPublishedSucrose(t *testing.T) {
	source, rows := tables.Published(t, "nbs_c440_table114_sg2020.csv")
	require.Len(t, rows, 96)
	var back, icumsa, widely, cubic float64
	for _, r := range rows {
		b := tables.Number(t, r["brix"])
		sg, err := must.SucroseSG(quantity.Brix(b))
		require.NoError(t, err)
		require.Equal(t, tables.Number(t, r["sg_20_20_apparent"]), sg)
		again, err := must.SucroseBrix(sg)
		require.NoError(t, err)
		back = max(back, math.Abs(float64(again)-b))
		if b > 40 {
			continue
		}
		rho, err := must.SucroseDensity(quantity.Brix(b), 20)
		require.NoError(t, err)
		// Apparent, in air of 1.2 kg/m³ against water of 998.2.
		icumsa = max(icumsa, math.Abs((rho-1.2)/(998.2012-1.2)-sg))
		widely = max(widely, math.Abs(143.254*sg*sg*sg-648.670*sg*sg+1125.805*sg-620.389-b))
		cubic = max(cubic, math.Abs(((182.4601*sg-775.6821)*sg+1262.7794)*sg-669.5622-b))
	}
	require.Less(t, back, 1e-9)
	require.Less(t, icumsa, 1.3e-4)
	t.Logf("source: %s; rows %d; worst error 0 (the table itself), backwards %.0e °Brix; up to 40 °Brix the density "+
		"formula of ICUMSA is off by %.1e SG, the cubic 143.254 SG³ … by %.3f °Brix, the cubic 182.4601 SG³ … by "+
		"%.4f °Brix", source, len(rows), back, icumsa, widely, cubic)
}

// TestPublishedBaume checks modulus 145 on sucrose both ways. Source: Handbook of
// Sugars (1973), read in an extract.
func TestPublishedBaume(t *testing.T) {
	source, rows := tables.Published(t, "brix_baume_145_published.csv")
	var out, in float64
	for _, r := range rows {
		sg, err := must.SucroseSG(quantity.Brix(tables.Number(t, r["brix"])))
		require.NoError(t, err)
		baume := 145 - 145/sg
		if sg < 1.2 {
			baume = convert(t, sg, must.SG).Baume.Value
		}
		out = max(out, math.Abs(baume-tables.Number(t, r["baume"])))
		b, err := must.SucroseBrix(145 / (145 - tables.Number(t, r["baume_in"])))
		if err != nil {
			continue
		}
		if tables.Number(t, r["baume_in"]) <= 25 {
			in = max(in, math.Abs(float64(b)-tables.Number(t, r["brix_out"])))
		}
	}
	require.LessOrEqual(t, out, 0.031)
	require.LessOrEqual(t, in, 0.061)
	t.Logf("source: %s; rows %d; worst error %.3f °Bé, backwards %.3f °Brix to 25 °Bé (the definition stands in for "+
		"the table, made with another table of sucrose)", source, len(rows), out, in)
}

// TestPublishedGermanTable checks all rows of Anlage 8 and what lies between them.
func TestPublishedGermanTable(t *testing.T) {
	source, rows := tables.Published(t, "weinv_anlage8_oechsle_to_abv.csv")
	require.Len(t, rows, 111)
	line := 0.0
	for _, r := range rows {
		oe := tables.Number(t, r["oechsle"])
		for _, x := range []float64{oe, oe - 0.5, oe + 0.49} {
			if x < 40 {
				continue
			}
			f, err := must.Potential(convert(t, x, must.Oechsle), must.ByGerman)
			require.NoError(t, err)
			require.Equal(t, tables.Number(t, r["abv_pct_vol"]), f.Value, "%g °Oe", x)
		}
		line = max(line, math.Abs(0.156075*oe-1.8551-tables.Number(t, r["abv_pct_vol"])))
	}
	for _, x := range []float64{39.4, 150.6} {
		_, err := must.Potential(convert(t, x, must.Oechsle), must.ByGerman)
		require.ErrorContains(t, err, "from 40 to 150 °Oe")
	}
	t.Logf("source: %s; rows %d; worst error 0 (the table itself; a straight line would miss by %.3f %% vol)", source,
		len(rows), line)
}

// TestPublishedFits prints what the short polynomials miss that carry the table of
// must two degrees beyond its ends. Inside it the table itself is used.
func TestPublishedFits(t *testing.T) {
	source, rows := tables.Published(t, "oiv_as2_02_table2_10_30.csv")
	fits := []struct {
		column string
		allow  float64
		f      func(b float64) float64
	}{
		{"must_density_kg_per_L", 8.5e-5, func(b float64) float64 { return 1.000647 + b*(3.624223e-3+b*2.156422e-5) }},
		{"sugar_g_per_L", 0.066, func(b float64) float64 { return -20.18082 + b*(9.871403+b*0.03659877) }},
		{"sugar_g_per_kg", 0.06, func(b float64) float64 {
			return -20.64418 + b*(10.02613+b*(-4.343741e-3-b*9.484832e-5))
		}},
		{"nD20", 1.6e-5, func(b float64) float64 { return 1.333109 + b*(1.407837e-3+b*6.441544e-6) }},
	}
	for _, fit := range fits {
		worst := 0.0
		for _, r := range rows {
			worst = max(worst, math.Abs(fit.f(tables.Number(t, r["brix_pct_mass"]))-tables.Number(t, r[fit.column])))
		}
		require.LessOrEqual(t, worst, fit.allow, fit.column)
		t.Logf("source: %.40s…; rows %d; the polynomial for %s misses by at most %.1e", source, len(rows), fit.column,
			worst)
	}
	for b, known := range map[float64]bool{7.9: false, 8: true, 9.9: true, 10: true, 30: true, 30.1: true, 32: true,
		32.1: false} {
		s := convert(t, b, must.Brix)
		require.Equal(t, known, s.Sugar.Known, "%g", b)
		require.Equal(t, known && (b < 10 || b > 30), s.Sugar.Extrapolated, "%g", b)
	}
}
