package logbook

import (
	"context"
	"slices"

	"fettle/routines"
)

// A Step is everything that belongs to one moment; it is stored whole or not at all. It is put in this order: printer,
// fingerprint, setup, material, run, events, entries, paid, owed, settle; so an entry may rest on what the same step
// brings, and what is paid and owed in one step is owed.
type Step struct {
	Printer     *Printer
	Fingerprint *FingerprintOf
	Setup       *SetupOf
	Material    *routines.Material
	Run         *RunRecord // no ID: begins; an ID: changes State, Cause and Finding where given
	WireTail    []byte     // kept with Run
	Events      []Event
	Entries     []Entry // each is dated by the last of Events, of which there must be one
	Paid        []Paid
	Owe         []Owed
	Settle      *Settlement // the request that this step is the whole effect of
}

// Commit stores a step and returns it as stored, with numbers, ids and stamps filled in. When it returns without error
// the step is on the disk; otherwise none of it is acknowledged. Errors: ErrStore, ErrRefused (names something that is
// not there), ErrRunOpen, ErrAnswered, ErrNotFound (the run or the key), ErrNewerSchema, the context's.
func (b *Book) Commit(ctx context.Context, s Step) (Step, error) {
	s = s.clone()
	if err := b.write(ctx, "commit a step", func(w *writing) error { return w.putStep(&s) }); err != nil {
		return Step{}, err
	}
	return s, nil
}

func (w *writing) putStep(s *Step) error {
	for _, put := range []func(*Step) error{w.putPrinter, w.putFingerprint, w.putSetup, w.putMaterial, w.putRun, w.putEvents, w.putEntries,
		w.putPaid, w.putOwed, w.putSettlement} {
		if err := put(s); err != nil {
			return err
		}
	}
	return nil
}

// clone makes a copy that Commit may fill in without reaching into the caller's.
func (s Step) clone() Step {
	s.Events, s.Entries, s.Owe = slices.Clone(s.Events), slices.Clone(s.Entries), slices.Clone(s.Owe)
	s.Printer, s.Setup, s.Material, s.Run = copied(s.Printer), copied(s.Setup), copied(s.Material), copied(s.Run)
	return s
}

func copied[T any](p *T) *T {
	if p == nil {
		return nil
	}
	c := *p
	return &c
}
