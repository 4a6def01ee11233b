package feed_test

import (
	"testing"

	"fettle/routines/replay"
)

// What page and scripts read must not change by accident: the questions of a whole climb, its finding and its entries.
func TestClimbAsJSON(t *testing.T) {
	c := newClimber(t, slips(7, 5))
	s := direct()
	finding := c.run(beginFlow(t, s, `{}`))
	replay.Golden(t, "testdata/flow_limit.json", *update, replay.Whole{Questions: c.questions, Finding: finding, Entries: c.entries})
}
