package runner

import (
	"context"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"fettle/routines"
	"fettle/routines/logbook"
)

// A run is a live run. Its goroutine (execute) owns record, number, need, attended, setAside, handsDue, hot, contact and
// unkept; the fields under mu are read by anyone.
type run struct {
	bench   *bench
	routine routines.Routine
	begin   routines.Begin
	ctx     context.Context // its cause says why the run was ended from outside
	end     context.CancelCauseFunc

	record   logbook.RunRecord
	number   int64           // of the last question
	resumed  *logbook.Event  // the question that was open in an earlier life
	need     routines.Need   // of the last act
	attended bool            // somebody said to be there, in this life and since the nozzle last went cold
	setAside bool            // multipliers and volume mode are set aside, in this life
	handsDue bool            // a person may have a hand in the machine
	hot      bool            // this life has asked for heat
	wish     routines.Heat   // of the act under way
	warm     routines.Heat   // what was reached, and not let go since
	contact  int64           // the contact at which that was so; 0: none yet
	unkept   []logbook.Event // they go on the disk with the run's end: heat was not to wait for them
	pressed  atomic.Pointer[press]
	holding  atomic.Bool // a program is to be held at its next line: this one, or the next; set and cleared under mu

	answers chan logbook.Event // the durable winner for the open question; one place

	deciding sync.Mutex // held while an answer or its taking back is stored; a stop does not take it

	mu        sync.Mutex
	name      string        // the run's id, once stored
	open      *OpenQuestion // until its answer is on the disk
	streaming bool          // a program is under way
	goesOn    bool          // one has ended, and the routine has asked nothing since
	waiting   bool          // nothing was begun since the last question was put on the disk: the run survives a restart
	doing     *Doing
	back      context.CancelCauseFunc // ends the present replay, for another without the answer taken back
}

func (run *run) id() string {
	run.mu.Lock()
	defer run.mu.Unlock()
	return run.name
}

// at says what the printer is at for this run.
func (run *run) at(d *Doing) {
	run.mu.Lock()
	run.doing = d
	run.mu.Unlock()
	run.bench.tell()
}

// ask opens a question that is on the disk.
func (run *run) ask(q *OpenQuestion) {
	run.mu.Lock()
	run.open, run.waiting = q, !run.streaming
	run.goesOn = run.goesOn && strings.HasPrefix(q.Name, ownPrefix)
	if q.Name == goOn {
		run.holding.Store(false) // it is served
	}
	run.mu.Unlock()
	run.bench.tell()
}

// begun says that an act, or what follows one, is on the disk.
func (run *run) begun() {
	run.mu.Lock()
	run.waiting = false
	run.mu.Unlock()
}

// ending closes the question of a run that ends, so that nobody answers it any more.
func (run *run) ending() {
	run.mu.Lock()
	run.open, run.doing, run.goesOn = nil, &Doing{What: "restoring"}, false
	run.mu.Unlock()
	run.bench.tell()
}

// answered closes a question whose answer is on the disk, so that nobody is asked it again.
func (run *run) answered(question int64) {
	run.mu.Lock()
	if run.open != nil && run.open.Number == question {
		run.open = nil
	}
	run.mu.Unlock()
	run.bench.tell()
}

// survives reports whether the run can be taken up by the next life.
func (run *run) survives() bool {
	run.mu.Lock()
	defer run.mu.Unlock()
	return run.waiting
}

func (run *run) question() *OpenQuestion {
	run.mu.Lock()
	defer run.mu.Unlock()
	return run.open
}

// wasAway reports whether the line was away since the run last looked. What was owed has then been given back, heat and
// set-asides, and the board may have begun anew.
func (run *run) wasAway() bool {
	before := run.contact
	run.contact = run.bench.settled.Load()
	return before != 0 && before != run.contact
}

// commit stores events of this run, with the run's state as it is then.
func (run *run) commit(ctx context.Context, state string, step logbook.Step) (logbook.Step, error) {
	run.record.State = state
	step.Run = &run.record
	for i := range step.Events {
		step.Events[i].Run, step.Events[i].Printer = run.record.ID, run.record.Printer
	}
	for i := range step.Entries {
		e := &step.Entries[i]
		e.Run, e.Printer, e.Who = run.record.ID, run.record.Printer, run.record.Who
		e.Material, e.SetupVersion = run.begin.Material.ID, run.begin.Setup.Version
	}
	return run.bench.runner.Book.Commit(ctx, step)
}

func entriesOf(list []routines.Entry) []logbook.Entry {
	out := make([]logbook.Entry, len(list))
	for i, e := range list {
		out[i].Entry = e
	}
	return out
}

// humanTimer is a timer for a person's time, which no speed-up of a demo shortens. It never fires where d is 0.
func humanTimer(d time.Duration) (<-chan time.Time, func() bool) {
	if d == 0 {
		return nil, func() bool { return true }
	}
	t := time.NewTimer(d)
	return t.C, t.Stop
}
