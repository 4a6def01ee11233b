package routines_test

import (
	"errors"
	"strings"
	"testing"

	"fettle/routines"
)

// TestOwnLines: the nozzle is not brought down on a finished piece, and nothing moves or probes where no axis is homed.
func TestOwnLines(t *testing.T) {
	for _, c := range []struct{ field, lines, refused string }{
		{"after", "G29", "after[0]"},
		{"after", "M107|G28", "after[1]"},
		{"after", "G28 Z", "after[0]"},
		{"after", "G28 X Y Z0", "after[0]"},
		{"after", "g28 x|G028 Z", "after[1]"},
		{"after", "G28 X|G28 Y|G28 X Y|G28 X0 Y0|G1 X0 F6000", ""},
		{"after", "", ""},
		{"before", "M420 S1", "before[0]"},
		{"before", "G21|M107", "before[1]"},
		{"before", "G29|G28", "before[0]"},
		{"before", "G28 X Y|G1 Z5 F600|G28 Z", "before[1]"},
		{"before", "G28 X|G28 Y|G29", "before[2]"},
		{"before", "G28 X Y|M420 S1", "before[1]"},
		{"before", "G28|M420 S1|G1 Z5 F600", ""},
		{"before", "M420 S1|G28|G29", ""},
		{"before", "G28 X|G28 Y|G28 Z|G29", ""},
		{"before", "G28 X Y|G28 Z|G0 X0 F6000", ""},
		{"before", "", ""},
	} {
		s, lines := good(), strings.FieldsFunc(c.lines, func(r rune) bool { return r == '|' })
		if c.field == "before" {
			s.Before = lines
		} else {
			s.After = lines
		}
		err := s.Validate()
		var refused *routines.FieldError
		if c.refused == "" {
			if err != nil {
				t.Errorf("%s %s: %v", c.field, c.lines, err)
			}
		} else if !errors.As(err, &refused) || refused.Field != c.refused || !strings.Contains(refused.Detail, "is \"") || refused.Accept == "" {
			t.Errorf("%s %s: %v, want %s", c.field, c.lines, err, c.refused)
		}
	}
}

// A tube's wall is thicker than nothing.
func TestATubeHasAWall(t *testing.T) {
	for outer, good := range map[float64]bool{0: true, 4: true, 2.1: true, 2: false, 1.9: false, 13: false} {
		s := routines.Setup{Drive: "bowden", FilamentDiameterMM: 1.75, NozzleBoreMM: 0.4, Liner: "unknown", NozzleMaxC: 280, FeedMaxMMPerS: 25,
			BuildXMM: 220, BuildYMM: 220, BuildZMM: 200, Tube: &routines.Tube{BoreMM: 2, LengthMM: 600, OuterMM: outer}}
		var refused *routines.FieldError
		if err := s.Validate(); good != (err == nil) || !good && (!errors.As(err, &refused) || refused.Field != "tube.outer_mm") {
			t.Errorf("%g mm outside: %v", outer, err)
		}
	}
}
