package runner_test

import (
	"strings"
	"testing"

	"fettle/routines"
	"fettle/routines/runner"
)

// A printer that makes something else of what it is told: everything is put back as it was, and said so.
func TestAWriteThatDoesOtherThanAskedIsUndone(t *testing.T) {
	cases := []struct{ name, at, does string }{
		{"another setting changes with it", "M500", "M204 P500"},
		{"it takes another value", "M503", "M92 E94.5"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			inBubble(t, slow(), func(s *shop) {
				v := s.until(s.begin(order()).ID, "apply", nil)
				written, done := false, false
				s.before.set(func(block string) error {
					written = written || strings.HasPrefix(block, "M92 E9")
					if !written || done || block != c.at {
						return nil
					}
					done = true
					_, err := s.line.Send(s.ctx(), c.does)
					return err
				})
				s.answer(v, nil)
				v = s.finish(v.ID, nil)
				steps := s.entries("steps_per_mm")
				if v.State != runner.Finished || !done || len(steps) != 1 || steps[0].Standing != routines.NotWritten {
					t.Fatalf("%s %s %+v", v.State, v.Cause, steps)
				}
				for word, want := range map[string]float64{"M92 E": 93, "M204 P": 1000} {
					name, letter, _ := strings.Cut(word, " ")
					if used, stored := s.inUse(name, letter[0]), s.inStore(name, letter[0]); used != want || stored != want {
						t.Errorf("%s: %g in use, %g stored, %g found", word, used, stored, want)
					}
				}
				s.atPeace()
			}, "M500")
		})
	}
}
