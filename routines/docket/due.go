package docket

import "strings"

// A Step is one thing that is due.
type Step struct {
	Do   string `json:"do"`
	Text string `json:"text"`
}

// What can be due, in the order of the work.
const (
	DoFeed     = "feed_check"
	DoTravel   = "travel_ladder"
	DoLength   = "retraction_ladder"
	DoConfirm  = "confirm"
	DoHandOver = "hand_over"
)

// NotConfirmed is the standing of a retraction length that no piece has confirmed.
const NotConfirmed = "not confirmed"

// Due lists what is due in the order of the work: feed check, travel, length, confirm; and then to hand over what was found.
func Due(d Docket) []Step {
	due := []Step{}
	if proved, why := FeedProved(d); !proved {
		due = append(due, Step{DoFeed, why})
	}
	for _, found := range []struct{ kind, do, none string }{
		{TravelSpeed, DoTravel, "the travel speed was never found"},
		{RetractionLength, DoLength, "the retraction length was never found"},
	} {
		if text := wants(d.Row(found.kind), found.none); text != "" {
			due = append(due, Step{found.do, text})
		}
	}
	if length := d.Row(RetractionLength); length.Fresh {
		if unconfirmed(length) {
			due = append(due, Step{DoConfirm, "no piece has confirmed the retraction length"})
		}
		if text := handOverDue(d); text != "" {
			due = append(due, Step{DoHandOver, text})
		}
	}
	return due
}

// wants says why a row's value must be found, "" where it need not.
func wants(r *Row, none string) string {
	switch {
	case r.Value == nil:
		return none
	case r.Fresh:
		return ""
	}
	return strings.ToLower(r.Label) + ": " + r.reasons()
}

// unconfirmed reports whether a length was taken without a piece that shows it: a person typed it, or the run says so.
func unconfirmed(length *Row) bool {
	return length.From.Source == Typed || length.Standing == NotConfirmed
}

func handOverDue(d Docket) string {
	switch h := d.HandedOver; {
	case h == nil:
		return "nobody has the values yet"
	case h.ReplacedBy != "":
		return "the firmware holds the values of " + h.ReplacedBy
	case len(h.Changed) > 0:
		return "values changed since they were handed over"
	}
	return ""
}
