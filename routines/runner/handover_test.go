package runner_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"fettle/routines/docket"
	"fettle/routines/runner"
)

// A printer that is at work for someone else is given nothing.
func TestNothingIsHandedOverToAPrinterAtWorkForSomeoneElse(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		s.tuned()
		s.listening()
		_, err := s.runner.HandOver(s.ctx(), printerID, rigid.ID, runner.HandOver{To: docket.Firmware, Yes: true}, "Ada")
		if !errors.Is(err, runner.ErrSomeoneElse) || len(s.obeyed("M207", "M500")) > 0 {
			t.Errorf("%v %v", err, s.obeyed("M207", "M500"))
		}
	}, "M104 S200")
}

// A stop in the middle of it is a person's: what was written is settled at once, since no greeting follows.
func TestAHandOverThatIsStoppedIsSettledAtOnce(t *testing.T) {
	for after, lengthMM := range map[string]float64{"M207 S0.8": 1, "M500": 0.8} {
		inBubble(t, slow(), func(s *shop) {
			s.tuned()
			s.listening()
			s.after.set(func(block string) {
				if strings.HasPrefix(block, after) {
					s.after.set(nil)
					if err := s.runner.Stop(printerID, "Bob"); err != nil {
						t.Error(err)
					}
				}
			})
			_, err := s.runner.HandOver(s.ctx(), printerID, rigid.ID, runner.HandOver{To: docket.Firmware, Yes: true}, "Ada")
			s.rest(time.Minute)
			if err == nil || s.inUse("M207", 'S') != lengthMM {
				t.Errorf("after %s: %v, M207 S%g is in use, want %g", after, err, s.inUse("M207", 'S'), lengthMM)
			}
			s.atPeace()
		}, "M500")
	}
}

// The agent that is shut down in the middle of it has settled it before it lets go of the line, or the next life does.
func TestAHandOverThatTheAgentDoesNotSurviveIsSettled(t *testing.T) {
	for after, lengthMM := range map[string]float64{"M207 S0.8": 1, "M500": 0.8} {
		inBubble(t, slow(), func(s *shop) {
			s.tuned()
			s.listening()
			s.after.set(func(block string) {
				if strings.HasPrefix(block, after) {
					s.after.set(nil)
					s.end()
				}
			})
			_, err := s.runner.HandOver(s.ctx(), printerID, rigid.ID, runner.HandOver{To: docket.Firmware, Yes: true}, "Ada")
			s.shutDown()
			s.open()
			s.rest(time.Minute)
			// Where the end of the agent comes between the words it may come a word later: then it is done whole.
			inUse := s.inUse("M207", 'S')
			whole := inUse == 0.8
			if !whole && (inUse != 1 || err == nil || lengthMM == 0.8) || (s.docket().Active == docket.Firmware) != whole {
				t.Errorf("after %s: %v, M207 S%g is in use; %q is active", after, err, inUse, s.docket().Active)
			}
			s.atPeace()
		}, "M500")
	}
}
