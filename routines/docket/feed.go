package docket

import (
	"encoding/json"
	"slices"
	"strings"

	"fettle/routines"
)

// feedChecks is what the feed checks of a printer say, beside the steps/mm that they proved: a printer that does not tell
// its steps/mm has none.
type feedChecks struct {
	any   bool
	right bool // a check left the feed as it is, and nothing was changed since that would make that stale
	off   bool // the last check that could tell found the feed off, and no steps/mm were written since
}

func (f fold) feedChecks() (c feedChecks) {
	for _, e := range f.entries {
		switch e.Kind {
		case KindChange:
			if change, ok := recorded(e); ok && slices.Contains(change.stages, atFeed) {
				c.right, c.off = false, false
			}
		case StepsPerMM:
			c.off = c.off && e.Standing == routines.NotWritten
		case kindCheck:
			c.take(e)
		}
	}
	return c
}

func (c *feedChecks) take(check Entry) {
	var body struct {
		Finding string `json:"finding"`
	}
	if json.Unmarshal(check.Body, &body) != nil {
		return
	}
	c.any = true
	if body.Finding == "leave" || body.Finding == "change" { // anything else tells nothing of the feed
		c.right, c.off = body.Finding == "leave", body.Finding == "change"
	}
}

// FeedProved reports whether the feed of the printer is known to be right, and says why where it is not. It is by steps/mm
// that were found or written and are fresh, or by a check that left the feed as it is: of a printer that does not tell its
// steps/mm there is nothing more to know.
func FeedProved(d Docket) (proved bool, why string) {
	steps := d.Row(StepsPerMM)
	switch {
	case d.feed.off:
		return false, "the feed was found off, and nothing was set right since"
	case d.feed.right || steps != nil && steps.Fresh:
		return true, ""
	case steps != nil && steps.Value != nil:
		return false, strings.ToLower(steps.Label) + ": " + steps.reasons()
	case !d.feed.any:
		return false, "never checked"
	}
	return false, "the feed is not proved yet"
}
