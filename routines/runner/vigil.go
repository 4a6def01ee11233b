package runner

import (
	"context"
	"fmt"
	"time"

	"fettle/serialio/machine"
)

// lookEvery is how often standing heat is looked at, in printer time.
const lookEvery = time.Second

// A vigil watches a nozzle or a bed that stands hot while a question waits: the machine's, with its clock. It belongs to the run's
// goroutine.
type vigil struct {
	run     *run
	machine *machine.Vigil
	due     <-chan time.Time // nil where no heat of ours is on
	stop    func()
}

// watch begins a vigil over what is hot now. Nothing it keeps outlives stop.
func (run *run) watch() *vigil {
	if !run.hot {
		return &vigil{stop: func() {}}
	}
	beat := time.NewTicker(time.Duration(float64(lookEvery) / max(run.bench.runner.Speedup, 1)))
	return &vigil{run: run, machine: run.bench.machine.Vigil(), due: beat.C, stop: beat.Stop}
}

// look looks once. A heater, of the nozzle or of the bed, that somebody switched off at the printer is reported as off, and the question stands;
// whatever else is wrong with the heat is an error, which ends the run as it would have ended a feed. A line that does
// not answer is not the heat's fault, and has a watch of its own.
func (v *vigil) look(ctx context.Context) (off bool, err error) {
	ctx, cancel := context.WithTimeout(ctx, 2*v.run.bench.runner.PollEvery)
	defer cancel()
	err = v.machine.Look(ctx)
	switch fault, wrong := machine.FaultOf(err); {
	case !wrong:
		return false, nil
	case fault == machine.SwitchedOff:
		return true, nil
	}
	return false, fmt.Errorf("watch the heat while a question waits: %w", err)
}
