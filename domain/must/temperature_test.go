package must_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/must"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/testdata/tables"
)

// corrections checks a whole table of corrections through To20 and returns the
// number of cells and the worst error, and how far a formula would miss it.
func corrections(t *testing.T, i must.Instrument, name string, formula func(d, b float64) float64) (source string,
	cells, recalled int, worst, missed float64) {
	source, rows := tables.Published(t, name)
	for _, r := range rows {
		for column, printed := range r {
			if column[0] != 'b' || printed == "" {
				continue
			}
			celsius, b := tables.Number(t, r["temp_C"]), tables.Number(t, column[1:])
			c, err := must.To20(i, quantity.Brix(b), quantity.Celsius(celsius))
			require.NoError(t, err)
			worst = max(worst, math.Abs(c.Add-tables.Number(t, printed)))
			require.InDelta(t, b+c.Add, float64(c.Brix), 1e-12)
			require.False(t, c.Extrapolated)
			if c.Recalled {
				recalled++
			}
			if celsius >= 10 && celsius <= 30 && b <= 30 {
				missed = max(missed, math.Abs(formula(celsius-20, b)-tables.Number(t, printed)))
			}
			cells++
		}
	}
	require.Zero(t, worst)
	return source, cells, recalled, worst, missed
}

// TestPublishedRefractometerCorrections: every cell. Rows 18 to 30 °C are from
// memory, as the table says; To20 says so too.
func TestPublishedRefractometerCorrections(t *testing.T) {
	source, cells, recalled, worst, missed := corrections(t, must.Refractometer,
		"refractometer_temp_correction_oiv_table1.csv", func(d, b float64) float64 {
			return d * (0.0628219 + 1.00117e-3*d + 5.68337e-4*b - 1.40998e-5*d*b - 5.61259e-6*b*b)
		})
	t.Logf("source: %s; cells %d, %d of them from memory; worst error %g (a formula would miss by %.3f °Brix)", source,
		cells, recalled, worst, missed)
}

// TestPublishedHydrometerCorrections: every cell, all from memory, held against the
// density of sucrose and the expansion of glass by 25e-6 a degree.
func TestPublishedHydrometerCorrections(t *testing.T) {
	source, cells, recalled, worst, missed := corrections(t, must.Hydrometer, "hydrometer_brix_temp_correction_20C.csv",
		func(d, b float64) float64 {
			return 0.0471524*d + 1.32468e-3*d*d - 5.14e-6*d*d*d + 6.58627e-4*d*b - 2.46291e-5*d*d*b + 6.8e-7*d*b*b
		})
	require.Equal(t, cells, recalled)
	physics := 0.0
	for celsius := 10.0; celsius <= 30; celsius++ {
		for b := 0.0; b <= 30; b += 5 {
			c, err := must.To20(must.Hydrometer, quantity.Brix(b), quantity.Celsius(celsius))
			require.NoError(t, err)
			// The spindle floats in a solution of b + correction and shows b.
			truth := min(max(float64(b)+c.Add, 0), 40)
			rho, err := must.SucroseDensity(quantity.Brix(truth), quantity.Celsius(celsius))
			require.NoError(t, err)
			shown, err := must.SucroseDensity(quantity.Brix(b), 20)
			require.NoError(t, err)
			if truth <= 0 || float64(b)+c.Add < 0 {
				continue
			}
			d := (rho*(1+25e-6*(celsius-20)) - shown) / 4.2 // kg/m³ for a °Brix, about
			physics = max(physics, math.Abs(d))
		}
	}
	require.Less(t, physics, 0.035)
	t.Logf("source: %s; cells %d, all from memory; worst error %g (a formula would miss by %.3f °Brix; the physics "+
		"of glass and sucrose differs by %.3f °Brix)", source, cells, worst, missed, physics)
}

// The two instruments have corrections of their own: 20 °Brix at 30 and 12 °C.
func TestPublishedInstrumentsDiffer(t *testing.T) {
	for _, c := range []struct {
		celsius     quantity.Celsius
		light, drop float64
	}{{30, 0.79, 0.68}, {12, -0.53, -0.43}} {
		a, err := must.To20(must.Refractometer, 20, c.celsius)
		require.NoError(t, err)
		b, err := must.To20(must.Hydrometer, 20, c.celsius)
		require.NoError(t, err)
		require.InDelta(t, c.light, a.Add, 1e-9)
		require.InDelta(t, c.drop, b.Add, 1e-9)
		require.NotEqual(t, a.Basis, b.Basis)
	}
	t.Log("source: the two tables above; rows 4; worst error 0")
}

func TestCorrectionsEnd(t *testing.T) {
	for _, c := range []struct {
		i     must.Instrument
		b, at float64
		ok    bool
		out   bool
	}{
		{i: must.Refractometer, b: 20, at: 20, ok: true}, {i: must.Refractometer, b: 21.3, at: 12.5, ok: true},
		{i: must.Refractometer, b: 20, at: 4.9}, {i: must.Refractometer, b: 20, at: 30.1},
		{i: must.Refractometer, b: 6, at: 15, ok: true, out: true}, {i: must.Refractometer, b: 4, at: 15},
		{i: must.Refractometer, b: 33, at: 25, ok: true, out: true}, {i: must.Refractometer, b: 36, at: 25},
		{i: must.Refractometer, b: 39, at: 15, ok: true},
		{i: must.Hydrometer, at: 10, ok: true}, {i: must.Hydrometer, b: -1, at: 10}, {i: must.Hydrometer, b: 20,
			at: 36},
		{i: must.Hydrometer, b: 20, at: 9.9}, {i: must.Hydrometer, b: 34, at: 20, ok: true, out: true},
		{i: must.Hydrometer, b: math.NaN(), at: 20}, {i: must.Hydrometer, b: 20, at: math.Inf(1)},
	} {
		got, err := must.To20(c.i, quantity.Brix(c.b), quantity.Celsius(c.at))
		require.Equal(t, c.ok, err == nil, "%+v", c)
		if err != nil {
			require.Regexp(t, `^The table corrects .*\.$`, err.Error())
			continue
		}
		require.Equal(t, c.out, got.Extrapolated, "%+v", c)
		if c.at == 20 {
			require.Zero(t, got.Add)
		}
	}
}

// TestPublishedSucroseDensity checks every cell of the density of sucrose by
// temperature (coefficients from memory, computed table).
func TestPublishedSucroseDensity(t *testing.T) {
	source, rows := tables.Published(t, "sucrose_density_temperature_icumsa.csv")
	worst, cells := 0.0, 0
	for _, r := range rows {
		for column, printed := range r {
			if column == "brix" {
				continue
			}
			celsius := tables.Number(t, column[len("rho_"):len(column)-1])
			rho, err := must.SucroseDensity(quantity.Brix(tables.Number(t, r["brix"])), quantity.Celsius(celsius))
			require.NoError(t, err)
			near(t, printed, rho, &worst, r["brix"], column)
			cells++
		}
	}
	t.Logf("source: %s; cells %d; worst error %.4f kg/m³", source, cells, worst)
}

// TestPublishedHotVolume is C17 (house arithmetic), and C36, the gas of a ferment.
func TestPublishedHotVolume(t *testing.T) {
	v, err := must.HotVolume(quantity.HL(108.6), 68)
	require.NoError(t, err)
	require.InDelta(t, 111.0, v.HL(), 0.06)
	require.InDelta(t, 92.5, 100*v.HL()/120, 0.05)
	gas, err := must.FermentationGas(quantity.HL(165), 200)
	require.NoError(t, err)
	require.InDelta(t, 830, gas.HL()/10, 1)
	one, err := must.FermentationGas(quantity.HL(1), 200)
	require.NoError(t, err)
	require.InDelta(t, 5.1, one.HL()/10, 0.1, "printed as about 5.1 m³")
	t.Logf("source: C17 and C36, computed by the formula; rows 4; worst error %.2f hL, %.2f m³ of 830",
		math.Abs(v.HL()-111), math.Abs(gas.HL()/10-830))
}

// TestPublishedSO2 checks every row of the table of molecular SO2. Its rows at
// steps of 0.05 were made from rounded shares and miss by up to 2.8 mg/L; those at
// steps of 0.1 are met within 0.6.
func TestPublishedSO2(t *testing.T) {
	source, rows := tables.Published(t, "so2_molecular_uc_enology_briefs_1982.csv")
	require.Len(t, rows, 23)
	var share, tenth, all float64
	for i, r := range rows {
		ph := quantity.PH(tables.Number(t, r["pH"]))
		s, err := must.MolecularShare(ph, must.CautiousPKa)
		require.NoError(t, err)
		require.InDelta(t, tables.Number(t, r["calc_pct_pKa1_81"]), float64(s), 5.1e-4)
		share = max(share, math.Abs(float64(s)-tables.Number(t, r["pct_molecular"])))
		for column, target := range map[string]must.MgL{"free_mg_L_for_0_8": 0.8, "free_mg_L_for_0_5": 0.5} {
			free, err := must.FreeFor(target, ph, must.CautiousPKa)
			require.NoError(t, err)
			off := math.Abs(float64(free) - tables.Number(t, r[column]))
			all = max(all, off)
			if i%2 == 0 {
				tenth = max(tenth, off)
			}
			back, err := must.Molecular(free, ph, must.CautiousPKa)
			require.NoError(t, err)
			require.InDelta(t, float64(target), float64(back), 1e-9)
		}
	}
	require.Less(t, share, 0.16)
	require.Less(t, tenth, 1.1)
	require.Less(t, all, 2.9)
	t.Logf("source: %s; rows %d, three columns; worst error %.2f %% share, %.1f mg/L at steps of 0.1 pH, %.1f mg/L "+
		"at steps of 0.05", source, len(rows), share, tenth, all)
}

// TestPublishedPK checks every cell of the thermodynamic pK.
func TestPublishedPK(t *testing.T) {
	source, rows := tables.Published(t, "so2_pkT_oiv_as323_04c_table1.csv")
	cells, worst := 0, 0.0
	for _, r := range rows {
		for column, printed := range r {
			if column == "abv_pct_vol" {
				continue
			}
			celsius := tables.Number(t, column[len("pkT_"):len(column)-1])
			pk, err := must.PKaAt(abv(tables.Number(t, r["abv_pct_vol"])), quantity.Celsius(celsius))
			require.NoError(t, err)
			worst = max(worst, math.Abs(float64(pk)-tables.Number(t, printed)))
			cells++
		}
	}
	require.Less(t, worst, 1e-12)
	t.Logf("source: %s; cells %d; worst error %.0e", source, cells, worst)
}

// TestPublishedSugarScales is C35 and the points of the country table: the same
// must by the law of one country and the table of another.
func TestPublishedSugarScales(t *testing.T) {
	s := convert(t, 1.090, must.SG)
	require.InDelta(t, 90, s.Oechsle.Value, 1e-9)
	require.InDelta(t, 11.97, s.Baume.Value, 0.005)
	require.InDelta(t, 21.57, s.Spindle.Value, 0.005)
	worst := 0.0
	for _, c := range []struct{ oe, german, oiv, sugar, brix float64 }{
		{oe: 60, german: 7.5, oiv: 7.82, sugar: 131.7, brix: 14.60}, {oe: 80, german: 10.6, oiv: 10.85, sugar: 182.6,
			brix: 19.17}, {oe: 100, german: 13.8, oiv: 13.83, sugar: 232.8, brix: 23.56}, {oe: 120, german: 16.9,
			oiv: 16.77, sugar: 282.2, brix: 27.78},
	} {
		s := convert(t, c.oe, must.Oechsle)
		require.InDelta(t, c.brix, s.Brix.Value, 0.011)
		require.InDelta(t, c.sugar, s.Sugar.Value, 0.11)
		worst = max(worst, math.Abs(c.sugar-s.Sugar.Value))
		f, err := must.Potential(s, must.By1683)
		require.NoError(t, err)
		require.InDelta(t, c.oiv, f.Value, 0.011)
		f, err = must.Potential(s, must.ByGerman)
		require.NoError(t, err)
		require.Equal(t, c.german, f.Value)
	}
	t.Logf("source: C35 by definition and by C440; four musts computed from OIV-MA-AS2-02 Table II and WeinV Anlage "+
		"8; rows 5; worst error %.2f g/L", worst)
}
