package main

import (
	"testing"
	"time"
	_ "time/tzdata"

	"github.com/pelletier/go-toml/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func wallTime(t *testing.T, s string) toml.LocalDateTime {
	t.Helper()
	var l toml.LocalDateTime
	require.NoError(t, l.UnmarshalText([]byte(s)))
	return l
}

// The nights on which clocks change, with the hours that come twice or not.
func TestInZone(t *testing.T) {
	for _, c := range []struct {
		zone, wall string
		want       string // the instant in UTC, or what is asked
	}{
		{"Europe/Paris", "2026-10-25T01:59:59", "2026-10-24T23:59:59Z"},
		{"Europe/Paris", "2026-10-25T02:30:00", "02:30 comes twice that day in Europe/Paris; type " +
			"2026-10-25T02:30:00+02:00 or 2026-10-25T02:30:00+01:00."},
		{"Europe/Paris", "2026-10-25T03:00:00", "2026-10-25T02:00:00Z"},
		{"Europe/Paris", "2026-03-29T02:30:00", "there is no 02:30 that day in Europe/Paris, " +
			"the clocks go forward: type another time."},
		{"America/Los_Angeles", "2026-11-01T01:15:00", "01:15 comes twice that day in America/Los_Angeles; type " +
			"2026-11-01T01:15:00-07:00 or 2026-11-01T01:15:00-08:00."},
		{"America/Los_Angeles", "2026-11-01T02:00:00", "2026-11-01T10:00:00Z"},
		{"Australia/Lord_Howe", "2027-04-04T01:45:00", "01:45 comes twice that day in Australia/Lord_Howe; type " +
			"2027-04-04T01:45:00+11:00 or 2027-04-04T01:45:00+10:30."},
		{"Africa/Johannesburg", "2027-02-03T02:30:00", "2027-02-03T00:30:00Z"},
	} {
		t.Run(c.zone+" "+c.wall, func(t *testing.T) {
			zone, err := time.LoadLocation(c.zone)
			require.NoError(t, err)
			got, err := inZone(wallTime(t, c.wall), zone)
			if err != nil {
				assert.Equal(t, c.want, err.Error())
				return
			}
			assert.Equal(t, c.want, got.UTC().Format(time.RFC3339))
		})
	}
}

// Every quarter of an hour of the night of a change is either exact or asked
// about.
func TestInZoneIsExactOrAsks(t *testing.T) {
	for _, name := range []string{"Europe/Paris", "America/New_York", "Pacific/Auckland", "America/Santiago",
		"Asia/Kolkata"} {
		zone, err := time.LoadLocation(name)
		require.NoError(t, err)
		for _, day := range []toml.LocalDate{{Year: 2026, Month: 10, Day: 25}, {Year: 2026, Month: 11, Day: 1},
			{Year: 2027, Month: 4, Day: 3}, {Year: 2027, Month: 4, Day: 4}, {Year: 2026, Month: 9, Day: 6}} {
			for q := range 96 {
				l := toml.LocalDateTime{LocalDate: day, LocalTime: toml.LocalTime{Hour: q / 4, Minute: q % 4 * 15}}
				if got, err := inZone(l, zone); err == nil {
					assert.Equal(t, l.AsTime(time.UTC).Format(time.DateTime), got.In(zone).Format(time.DateTime))
				}
			}
		}
	}
}

func TestATimeAloneIsTheLastOneOrTheNext(t *testing.T) {
	zone, err := time.LoadLocation("Europe/Vienna")
	require.NoError(t, err)
	at := time.Date(2026, 11, 20, 18, 0, 0, 0, zone)
	f := fitter{zone: zone, at: at}
	for _, c := range []struct {
		field string
		hour  int
		want  time.Time
	}{
		{"since", 16, at.Add(-2 * time.Hour)},
		{"since", 18, at},
		{"since", 19, at.Add(-23 * time.Hour)},
		{"closed", 0, at.Add(-18 * time.Hour)},
		{"due", 19, at.Add(time.Hour)},
		{"due", 18, at.Add(24 * time.Hour)},
		{"booked", 4, at.Add(10 * time.Hour)},
		{"end", 17, at.Add(23 * time.Hour)},
	} {
		got, err := f.instant(toml.LocalTime{Hour: c.hour}, c.field)
		require.NoError(t, err)
		assert.Equal(t, c.want, got, "%s %d", c.field, c.hour)
	}
}

// On the evening before the clocks change, a time alone that comes twice is
// asked about as well.
func TestATimeAloneThatComesTwice(t *testing.T) {
	zone, err := time.LoadLocation("Europe/Vienna")
	require.NoError(t, err)
	f := fitter{zone: zone, at: time.Date(2026, 10, 24, 18, 0, 0, 0, zone)}
	_, err = f.instant(toml.LocalTime{Hour: 2, Minute: 30}, "due")
	assert.ErrorContains(t, err, "comes twice")
	_, err = f.instant(toml.LocalTime{Hour: 2, Minute: 30}, "since")
	assert.NoError(t, err)
}
