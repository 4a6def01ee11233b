package runner

import (
	"context"
	"fmt"

	"fettle/routines"
)

// ownPrefix marks the runner's own questions, which no replay hands back: they are asked anew in each life.
const ownPrefix = "runner: "

// Ready brings about what an act needs: the line, and for what moves a person's presence, the set-asides, the heat and,
// last of all, hands away.
func (h *host) Ready(ctx context.Context, need routines.Need, hot routines.Heat) error {
	run := h.run
	run.need, run.wish = need, hot
	run.at(&Doing{What: "waiting for the line"})
	defer run.at(nil)
	if err := run.bench.awaitLine(ctx); err != nil {
		return err
	}
	if run.wasAway() {
		if err := run.goneCold(ctx, ownPrefix+"the line was away"); err != nil {
			return err
		}
	}
	if need != routines.Moves {
		return nil
	}
	for {
		if err := run.present(ctx, hot); err != nil {
			return err
		}
		if err := run.prepare(ctx, hot); err != nil {
			return err
		}
		if !run.handsDue {
			return nil
		}
		cooled, err := run.handsAway(ctx)
		if err != nil {
			return err
		}
		if !cooled && run.attended {
			run.handsDue = false
			return nil
		}
	}
}

// present asks, once in each life and after each cooling, whether somebody is at the printer and has read the caution.
func (run *run) present(ctx context.Context, hot routines.Heat) error {
	if run.attended {
		return nil
	}
	yes := true
	q := routines.Question{Name: ownPrefix + "present", Figure: "caution", Text: "Are you at the machine, and will you stay?",
		Reason: "It will heat and move, and only you can see what goes wrong.", Warning: cautions(run.begin.Setup, hot),
		Fields: []routines.Field{{Name: "present", Label: "I am at the machine and have read the warnings", Kind: routines.Yes, Must: &yes}},
		Shown:  map[string]any{"nozzle_c": hot.NozzleC, "bed_c": hot.BedC, "switch": run.begin.Setup.Switch}}
	if _, _, err := run.wait(ctx, q, nil, false); err != nil {
		return fmt.Errorf("ask for presence: %w", err)
	}
	run.attended, run.handsDue = true, true
	return nil
}

// prepare sets aside what would spoil a feed, and heats.
func (run *run) prepare(ctx context.Context, hot routines.Heat) error {
	hand := &hand{run}
	if !run.setAside {
		run.at(&Doing{What: "setting multipliers aside"})
		if err := hand.setMultipliersAside(ctx); err != nil {
			return fmt.Errorf("set multipliers aside: %w", err)
		}
		run.setAside = true
	}
	defer run.at(nil)
	return hand.heat(ctx, hot)
}

// handsAway asks right before each motion that follows a question. It reports whether the nozzle went cold meanwhile.
func (run *run) handsAway(ctx context.Context) (cooled bool, err error) {
	yes := true
	q := routines.Question{Name: ownPrefix + "hands away", Figure: "hands_away", Text: "Hands away from the machine?",
		Reason:  "It moves as soon as you say so.",
		Warning: []string{cautionHands},
		Fields:  []routines.Field{{Name: "hands_away", Label: "My hands are away", Kind: routines.Yes, Must: &yes}}}
	if _, cooled, err = run.wait(ctx, q, nil, false); err != nil {
		return cooled, fmt.Errorf("ask for hands away: %w", err)
	}
	return cooled, nil
}
