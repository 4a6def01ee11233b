package runner

import (
	"context"
	"fmt"
	"strings"

	"fettle/routines"
	"fettle/routines/logbook"
)

// named gives the run its id, by which it is seen from then on.
func (run *run) named() {
	run.mu.Lock()
	run.name = run.record.ID
	run.mu.Unlock()
	run.bench.runner.Log.Info("run", "run", run.record.ID, "printer", run.record.Printer, "state", run.record.State)
	run.bench.tell()
}

// recall takes from a run's events what its goroutine must know.
func (run *run) recall(events []logbook.Event) {
	for _, e := range events {
		run.number = max(run.number, e.Question)
	}
}

// resume readies a run that waits: its machine is cold now, whatever it was. A question of the routine's that was open
// stays open; one of the runner's own is asked anew when it is due.
func (run *run) resume(ctx context.Context, last logbook.Event) error {
	if last.Kind == string(routines.Asked) && !strings.HasPrefix(last.Name, ownPrefix) {
		run.resumed = &last
	}
	return run.goneCold(ctx, "the agent was away")
}

// abandon ends a run of an earlier life that cannot go on.
func (run *run) abandon(why string) {
	defer run.bench.runner.work.Done()
	defer run.bench.tell()
	defer run.bench.run.Store(nil)
	defer run.end(nil)
	run.named()
	run.close(routines.Finding{}, nil, fmt.Errorf("%w: %s", routines.ErrHalfDone, why))
}
