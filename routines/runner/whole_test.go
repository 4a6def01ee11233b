package runner_test

import (
	"slices"
	"testing"

	"fettle/routines"
	"fettle/routines/runner"
)

func TestAFeedCheckIsDoneToItsEnd(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		v := s.finish(s.begin(order()).ID, person{"verify": `{"verify":true}`})
		if v.State != runner.Finished || v.Finding == nil || v.Finding.Kind != "change" {
			t.Fatalf("%s: %s %+v", v.State, v.Cause, v.Finding)
		}
		steps := s.entries("steps_per_mm")
		if len(steps) != 1 || steps[0].Standing != routines.Verified || steps[0].Who != "Ada" || steps[0].Material != rigid.ID || steps[0].Run != v.ID {
			t.Fatalf("steps/mm: %+v", steps)
		}
		p := s.printer.Snapshot()
		if stored, _ := p.Stored.Value("M92", 'E'); stored != *steps[0].Value || stored < 95.5 || stored > 96.3 {
			t.Errorf("the printer stored %g where %g was written; 95.876 is true", stored, *steps[0].Value)
		}
		s.atPeace()
		for _, kind := range []string{"feed_pass", "feed_check", "feed_verification"} {
			if len(s.entries(kind)) != 1 {
				t.Errorf("%d entries %s", len(s.entries(kind)), kind)
			}
		}
		if !slices.Contains(s.events(v.ID), "run ended finished") {
			t.Error("the end is not among the events")
		}
	})
}
