package runner_test

import (
	"testing"
	"time"

	check "fettle/routines/cable"
	"fettle/routines/runner"
	"fettle/serialio/standin"
)

// Whatever way a board lies while a program is streamed: the run ends by itself, what was told done was obeyed but for the
// last lines that nothing proves, and nothing is left hot.
func TestAStreamOverEachLie(t *testing.T) {
	for i, lie := range standin.Lies() {
		if i%stride != 0 {
			continue
		}
		t.Run(string(lie), func(t *testing.T) {
			p := greeting()
			p.Lies = []standin.Lying{{Lie: lie, Chance: 0.002}}
			p.Seed = uint64(i)
			onPrinter(t, p, check.Check(), func(s *shop) {
				s.takesTime()
				s.listening()
				began, err := s.runner.Begin(s.ctx(), checking("1500"))
				if err != nil {
					t.Fatal("it takes no run: ", err)
				}
				v := s.until(began.ID, "no such question", nil)
				if s.count(v.ID, "streamed") == 0 {
					t.Fatal("nothing was streamed: ", v.Cause)
				}
				name, done := s.streamed(v.ID)
				obeyed := len(s.obeyed("G1 F"))
				t.Logf("%s %s: %d told done, %d unsure, %d obeyed, %d again, %d asked after, %d garbled; %s", v.State, name, done.Lines, done.Unsure, obeyed, done.SentAgain, done.AskedAfter, done.Garbled, v.Cause)
				if !runner.Ended(v.State) || obeyed < done.Lines-done.Unsure || obeyed > done.Lines+1 {
					t.Error("it was told otherwise")
				}
				s.rest(3 * time.Minute)
				if now := s.printer.Snapshot(); now.NozzleTargetC > 0 {
					t.Errorf("the nozzle is asked for %g °C", now.NozzleTargetC)
				}
			})
		})
	}
}
