package feed

import (
	"context"
	"fmt"
	"math"

	"fettle/routines"
)

// How the tube's end is brought out.
const (
	handC       = 50 // below this, read and not timed, the hot end may be touched
	pullMM      = 60 // from the nozzle's tip to where filament is cold, where the setup does not say
	pullSpareMM = 20 // and so much farther
	standsOutMM = 10 // what stands out of the tube before the first cut
	warmMM      = 5  // fed hot, so that what is pulled back comes off clean
)

type pieceAnswer struct {
	PieceMM float64 `json:"piece_mm"`
}

// passTube does one pass at the tube's end: cut flush with it, feed, cut flush again, measure the piece. Before the first,
// the hot end is unloaded and cooled and the coupler undone.
func (c *check) passTube(n int, _ bool) (pass, error) {
	p := pass{Number: n}
	out, err := c.openTube()
	if err != nil || out.Prevented {
		p.Done = out
		return p, err
	}
	if p.Done, err = c.feed(fmt.Sprintf("pre-feed %d", n), c.outMM(n)); err != nil || p.Done.Prevented {
		return p, err
	}
	if _, err := routines.Ask[struct{}](c.Run, c.askCut(n)); err != nil {
		return p, err
	}
	if p.Done, err = c.feed(fmt.Sprintf("feed %d", n), c.in.CommandedMM); err != nil || p.Done.Prevented {
		return p, err
	}
	piece, err := routines.Ask[pieceAnswer](c.Run, c.askPiece(n))
	p.PieceMM = &piece.PieceMM
	return p, err
}

// openTube unloads the hot end, waits until it is cold by its own reading, and has the coupler undone. Once in a check: from then
// on it asks whether that is still so, since a pass may be taken over long after the tube was put back.
func (c *check) openTube() (routines.FeedDone, error) {
	if c.opened {
		_, err := routines.Ask[struct{}](c.Run, c.askStillOff(len(c.passes)+1))
		return routines.FeedDone{}, err
	}
	if err := c.Hot(routines.Heat{NozzleC: c.nozzleC}); err != nil {
		return routines.FeedDone{}, err
	}
	done, err := routines.Act(c.Run, "warm", routines.Moves, func(ctx context.Context, p routines.Printer) (routines.FeedDone, error) {
		return p.Feed(ctx, warmMM, c.speedMMPerS)
	})
	if err != nil || done.Prevented {
		return done, c.orCold(err)
	}
	if _, err := routines.Ask[struct{}](c.Run, c.askUnload()); err != nil {
		return done, err
	}
	if err := c.Hot(routines.Heat{}); err != nil {
		return done, err
	}
	if _, err := routines.Act(c.Run, "cool", routines.Looks, awaitHandWarm); err != nil {
		return done, err
	}
	c.opened = true
	_, err = routines.Ask[struct{}](c.Run, c.askCoupler())
	return done, err
}

func (c *check) orCold(err error) error {
	if err != nil {
		return err
	}
	return c.Hot(routines.Heat{})
}

func awaitHandWarm(ctx context.Context, p routines.Printer) (struct{}, error) {
	return struct{}{}, p.AwaitCool(ctx, handC)
}

// pulledMM is how far the filament is pulled back out of the hot end.
func (c *check) pulledMM() float64 {
	if c.Setup.ColdSideMM > 0 {
		return math.Ceil(c.Setup.ColdSideMM + pullSpareMM)
	}
	return pullMM + pullSpareMM
}

// outMM is fed before the first cut of pass n: what was pulled back and the tube's slack, and so much that something stands
// out. Later passes need something to cut, and no more.
func (c *check) outMM(n int) float64 {
	if n > 1 {
		return c.in.PreFeedMM
	}
	return math.Ceil(c.pulledMM() + c.slackMM() + standsOutMM)
}

// slackMM is the way that filament has from one wall of the tube to the other: its turns in radians times what it is
// narrower than the bore. Plain geometry.
func (c *check) slackMM() float64 {
	t := c.Setup.Tube
	return t.QuarterTurns * math.Pi / 2 * (t.BoreMM - c.Setup.FilamentDiameterMM)
}

func (c *check) askUnload() routines.Question {
	yes := true
	return routines.Question{
		Name: "unload", Figure: "unload",
		Text:    fmt.Sprintf("Pull the filament back by %s, slowly.", unit(c.pulledMM(), "mm")),
		Reason:  "Open the lever at the gear for it, and close it again. Filament that is still in the hot end when that cools cannot be moved any more.",
		Warning: []string{"The nozzle is hot and burns skin at once. Keep to the gear."},
		Fields:  []routines.Field{{Name: "pulled_back", Label: "Pulled back, lever closed", Kind: routines.Yes, Must: &yes}},
		Shown:   shownWay{shown: c.shownPass(0), PullMM: c.pulledMM()},
	}
}

func (c *check) askCoupler() routines.Question {
	yes := true
	return routines.Question{
		Name: "coupler", Figure: "coupler",
		Text:    "Undo the coupler at the hot end.",
		Reason:  fmt.Sprintf("The nozzle reads below %s. Let the tube's end hang free over a cup: what comes out is cut and measured.", unit(handC, "°C")),
		Warning: []string{"Do not heat while the tube is off. Keep fingers away from the tube's end while it feeds."},
		Fields:  []routines.Field{{Name: "undone", Label: "Undone, the end is free", Kind: routines.Yes, Must: &yes}},
		Shown:   c.shownPass(0),
	}
}

// askStillOff stands before the later passes.
func (c *check) askStillOff(n int) routines.Question {
	q := c.askCoupler()
	q.Name = fmt.Sprintf("coupler %d", n)
	q.Text = "Is the tube still off the hot end, its end free over a cup?"
	q.Reason = "Into a hot end the gear grinds cold filament. If the tube is on again, press Stop and begin anew."
	q.Fields[0].Label = "Still off, the end is free"
	return q
}

func (c *check) askCut(n int) routines.Question {
	yes := true
	return routines.Question{
		Name: fmt.Sprintf("cut %d", n), Figure: "cut",
		Text:    "Cut the filament flush with the tube's end.",
		Reason:  "From this cut on every millimetre counts: lay the blade flat on the tube's face.",
		Warning: []string{"A blade slips off round filament. Cut away from yourself."},
		Fields:  []routines.Field{{Name: "cut", Label: "Cut flush", Kind: routines.Yes, Must: &yes}},
		Shown:   shownWay{shown: c.shownPass(0), CutMM: c.outMM(n)},
	}
}

func (c *check) askPiece(n int) routines.Question {
	one := c.one(c.in.CommandedMM).Budget()
	return routines.Question{
		Name: fmt.Sprintf("piece %d", n), Figure: "cut_piece",
		Text:   "Cut it flush once more. How long is the piece?",
		Reason: "What came out of the tube is what the gear has fed. Hold it straight along the caliper.",
		Fields: []routines.Field{{Name: "piece_mm", Label: "Length of the piece", Kind: routines.Number, Unit: "mm",
			Min: routines.Limit(0), Max: routines.Limit(c.in.RuleMM), Step: c.work.Gauge.ReadingMM(), OutOf: "it must fit the gauge"}},
		Derived: &routines.Derived{Name: "went_in_mm", Unit: "mm", B: 1, U95: round(one.U95),
			Unlikely: [2]float64{round(0.85 * c.in.CommandedMM), round(1.15 * c.in.CommandedMM)}},
		Shown: c.shownPass(0),
	}
}
