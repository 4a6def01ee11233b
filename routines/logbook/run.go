package logbook

import (
	"context"
	"encoding/json"
	"fmt"
)

// A RunRecord is one execution of a routine as the store knows it. BegunMS and EndedMS are stamped by the Book; a run has
// ended when its State is neither underway nor asking.
type RunRecord struct {
	ID      string          `json:"id"` // "r1", "r2", ... in the order they began
	Printer string          `json:"printer"`
	Routine string          `json:"routine"`
	Program string          `json:"program"`
	State   string          `json:"state"`
	Who     string          `json:"who,omitempty"`
	From    string          `json:"from,omitempty"` // the run that was taken over
	Begin   json.RawMessage `json:"begin,omitempty"`
	Finding json.RawMessage `json:"finding,omitempty"`
	Cause   string          `json:"cause,omitempty"`
	BegunMS int64           `json:"begun_ms"`
	EndedMS int64           `json:"ended_ms,omitempty"`
}

// openRun is true for a run that has not ended, in the words of the index run_open.
const openRun = `state IN ('underway', 'asking')`

func ended(state string) bool { return state != "underway" && state != "asking" }

func (w *writing) putRun(s *Step) error {
	if s.Run == nil {
		if s.WireTail != nil {
			return fmt.Errorf("%w: lines of the wire without their run", ErrRefused)
		}
		return nil
	}
	if s.Run.ID == "" {
		return w.beginRun(s.Run, s.WireTail)
	}
	return w.changeRun(s.Run, s.WireTail)
}

func (w *writing) beginRun(r *RunRecord, tail []byte) error {
	if ended(r.State) {
		return fmt.Errorf("%w: a run cannot begin as %q", ErrRefused, r.State)
	}
	r.BegunMS, r.EndedMS = w.now.wallMS, 0
	err := w.QueryRowContext(w.ctx, `INSERT INTO run (n, id, printer, routine, program, state, who, from_run, cause, begun_ms, begin, finding, wire_tail)
		SELECT n, 'r' || n, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ? FROM (SELECT coalesce(max(n), 0) + 1 AS n FROM run) RETURNING id`,
		r.Printer, r.Routine, r.Program, r.State, text(r.Who), text(r.From), text(r.Cause), r.BegunMS, body(r.Begin), body(r.Finding), tail).Scan(&r.ID)
	if err != nil {
		return fmt.Errorf("begin a run on %s: %w", r.Printer, unique(err, ErrRunOpen))
	}
	return nil
}

// changeRun changes what may change in a run, and fills r with what is then stored. What is not given stays.
func (w *writing) changeRun(r *RunRecord, tail []byte) error {
	var endedMS any
	if r.State != "" && ended(r.State) {
		endedMS = w.now.wallMS
	}
	row := w.QueryRowContext(w.ctx, `UPDATE run SET state = coalesce(?, state), cause = coalesce(?, cause), finding = coalesce(?, finding),
		ended_ms = coalesce(ended_ms, ?), wire_tail = coalesce(?, wire_tail) WHERE id = ? RETURNING `+runColumns,
		text(r.State), text(r.Cause), body(r.Finding), endedMS, tail, r.ID)
	stored, err := scanRun(row)
	if err != nil {
		return fmt.Errorf("change run %s: %w", r.ID, unique(err, ErrRunOpen))
	}
	*r = stored
	return nil
}

const runColumns = `id, printer, routine, program, state, coalesce(who, ''), coalesce(from_run, ''), begin, finding, coalesce(cause, ''), begun_ms, coalesce(ended_ms, 0)`

func scanRun(row scanner) (r RunRecord, err error) {
	var begin, finding *string
	err = row.Scan(&r.ID, &r.Printer, &r.Routine, &r.Program, &r.State, &r.Who, &r.From, &begin, &finding, &r.Cause, &r.BegunMS, &r.EndedMS)
	r.Begin, r.Finding = rawJSON(begin), rawJSON(finding)
	return r, err
}

// Run returns one run, or ErrNotFound.
func (b *Book) Run(ctx context.Context, id string) (RunRecord, error) {
	return one(ctx, b, "read run "+id, scanRun, `SELECT `+runColumns+` FROM run WHERE id = ?`, id)
}

// Runs returns the runs that Filter's Printer and State let through, newest first.
func (b *Book) Runs(ctx context.Context, f Filter) ([]RunRecord, error) {
	var w where
	w.text("printer = ?", f.Printer)
	if f.State == "open" {
		w.terms = append(w.terms, openRun)
	} else {
		w.text("state = ?", f.State)
	}
	return list(ctx, b, "read runs", scanRun, `SELECT `+runColumns+` FROM run`+w.sql("n DESC", f.Limit), w.args...)
}

// WireTail returns the last lines of the wire that were kept with a run, nil where none were.
func (b *Book) WireTail(ctx context.Context, run string) ([]byte, error) {
	scan := func(row scanner) (tail []byte, err error) {
		err = row.Scan(&tail)
		return tail, err
	}
	return one(ctx, b, "read the wire of run "+run, scan, `SELECT wire_tail FROM run WHERE id = ?`, run)
}

// LastOfRuns returns the number of the last event of each run that Filter's Printer lets through, the newest Limit runs.
func (b *Book) LastOfRuns(ctx context.Context, f Filter) (map[string]int64, error) {
	type last struct {
		run string
		seq int64
	}
	scan := func(row scanner) (l last, err error) {
		err = row.Scan(&l.run, &l.seq)
		return l, err
	}
	var w where
	w.text("printer = ?", f.Printer)
	all, err := list(ctx, b, "read the last events of runs", scan, `SELECT id, coalesce((SELECT max(seq) FROM event WHERE run = run.id), 0)
		FROM run`+w.sql("n DESC", f.Limit), w.args...)
	seqs := make(map[string]int64, len(all))
	for _, l := range all {
		seqs[l.run] = l.seq
	}
	return seqs, err
}
