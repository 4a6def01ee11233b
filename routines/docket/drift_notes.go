package docket

import (
	"fmt"
	"slices"
	"strings"
)

// notesOn is what a person should know of a row: what was left out of it, and what else than the printer may have made a
// step. A gauge's own error is the same in all its checks, and the trend takes errors as independent.
func notesOn(r row, newest []DriftCheck) (notes []string) {
	if r.untimed > 0 {
		notes = append(notes, fmt.Sprintf("Without a day: %s, since nobody vouches for the clock of that time. They stand in the charts, and no rate rests on them.", counted(r.untimed)))
	}
	if r.unmeasured > 0 {
		notes = append(notes, fmt.Sprintf("Left out: %s without steps/mm: nothing was read, or the printer does not tell its own.", counted(r.unmeasured)))
	}
	for _, of := range []struct {
		what string
		name func(DriftCheck) string
	}{
		{"gauge", func(c DriftCheck) string { return c.Gauge }},
		{"way of measuring", func(c DriftCheck) string { return c.Method }},
		{"material", func(c DriftCheck) string { return c.Material }},
	} {
		if names := namesIn(newest, of.name); len(names) > 1 {
			notes = append(notes, fmt.Sprintf("Not all were made with one %s (%s): a step from one to the other may be theirs.", of.what, strings.Join(names, ", ")))
		}
	}
	return notes
}

func counted(checks int) string {
	if checks == 1 {
		return "1 check"
	}
	return fmt.Sprintf("%d checks", checks)
}

// namesIn lists what checks are said to be of, in the order in which it came.
func namesIn(checks []DriftCheck, of func(DriftCheck) string) (names []string) {
	for _, c := range checks {
		if name := of(c); name != "" && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}
