package main

import (
	"cmp"
	"errors"
	"reflect"
	"slices"
	"strings"
	"time"

	"github.com/pelletier/go-toml/v2"
)

// ahead are the fields whose time lies after the one the file speaks of. A time
// of day alone means the next such time there, and the last one anywhere else.
var ahead = map[string]bool{"due": true, "end": true, "booked": true, "until": true}

// fitTime puts an instant into v: one with its offset as it is, one without it
// in the house's zone, and a time of day alone on the day that is meant.
func (f *fitter) fitTime(v reflect.Value, x any, path, where string) {
	t, err := f.instant(x, path[strings.LastIndexByte(path, '.')+1:])
	if err != nil {
		f.fault(path, where, "{wrong}", err)
		return
	}
	v.Set(reflect.ValueOf(t))
}

func (f *fitter) instant(x any, field string) (time.Time, error) {
	switch got := x.(type) {
	case time.Time:
		return got, nil
	case toml.LocalDateTime:
		return inZone(got, f.zone)
	case toml.LocalTime:
		if f.at.IsZero() {
			break // nothing it could be next to
		}
		return f.nearest(got, ahead[field])
	}
	return time.Time{}, errors.New("type it as a time, without quotes: 2026-09-30T22:15:00, or 22:15:00 alone.")
}

// nearest is the last such time of day at or before the instant the file speaks
// of, or the first one after it.
func (f *fitter) nearest(t toml.LocalTime, after bool) (time.Time, error) {
	var found time.Time
	var odd error
	y, m, d := f.at.In(f.zone).Date()
	for _, day := range []int{d - 1, d, d + 1} {
		noon := time.Date(y, m, day, 12, 0, 0, 0, f.zone)
		date := toml.LocalDate{Year: noon.Year(), Month: int(noon.Month()), Day: noon.Day()}
		at, err := inZone(toml.LocalDateTime{LocalDate: date, LocalTime: t}, f.zone)
		if later := at.After(f.at); later && after {
			return at, err
		} else if !later && !after {
			found, odd = at, err
		}
	}
	return found, odd
}

// inZone is the instant of a time on the wall. In the night the clocks change
// some times come twice and some do not come: those are asked about, never
// guessed. The instant is a fair one even then.
func inZone(l toml.LocalDateTime, zone *time.Location) (time.Time, error) {
	at := l.AsTime(zone)
	naive := l.AsTime(time.UTC)
	var fits []time.Time
	for _, near := range []time.Duration{-12 * time.Hour, 12 * time.Hour} {
		_, offset := at.Add(near).Zone()
		t := naive.Add(-time.Duration(offset) * time.Second).In(zone)
		if sameWall(t, naive) && (len(fits) == 0 || !fits[0].Equal(t)) {
			fits = append(fits, t)
		}
	}
	switch len(fits) {
	case 0:
		return at, errors.New(sentence("there is no {time} that day in {zone}, the clocks go forward: type another "+
			"time.", naive.Format("15:04"), zone))
	case 1:
		return fits[0], nil
	}
	return at, errors.New(sentence("{time} comes twice that day in {zone}; type {first} or {second}.",
		naive.Format("15:04"), zone, fits[0].Format(time.RFC3339), fits[1].Format(time.RFC3339)))
}

func sameWall(t, naive time.Time) bool {
	return t.Format(time.DateTime) == naive.Format(time.DateTime)
}

// inOrder lists the names of a table as they stand in the document, so that
// faults are told from top to bottom.
func inOrder(table map[string]any, lines lineMap, path string) []string {
	names := make([]string, 0, len(table))
	for n := range table {
		names = append(names, n)
	}
	slices.SortFunc(names, func(a, b string) int {
		return cmp.Or(cmp.Compare(lines.at(under(path, a)), lines.at(under(path, b))), cmp.Compare(a, b))
	})
	return names
}
