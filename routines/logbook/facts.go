package logbook

import (
	"context"
	"slices"

	"fettle/routines"
)

const takenBack routines.FactKind = "taken_back"

// Facts returns what a replay of the run is handed: its own facts in order, without those that were taken back and
// without what the runner asked and did on its own account, whose names begin with "runner:".
func (b *Book) Facts(ctx context.Context, run string) ([]routines.Fact, error) {
	all, err := list(ctx, b, "read the facts of run "+run, scanFact, `SELECT kind, name, body FROM event
		WHERE run = ? AND kind IN ('asked', 'answered', 'begun', 'done', 'cooled', 'whole', 'taken_back')
		AND name NOT LIKE 'runner:%' ORDER BY seq`, run)
	if err != nil {
		return nil, err
	}
	return fold(all), nil
}

// FactsWhole returns what another run may take over: the facts up to the last that says so, none where none does.
func (b *Book) FactsWhole(ctx context.Context, run string) ([]routines.Fact, error) {
	facts, err := b.Facts(ctx, run)
	if err != nil {
		return nil, err
	}
	return facts[:1+lastIndex(facts, func(f routines.Fact) bool { return f.Kind == routines.Whole })], nil
}

func scanFact(row scanner) (f routines.Fact, err error) {
	var raw *string
	err = row.Scan(&f.Kind, &f.Name, &raw)
	f.Body = rawJSON(raw)
	return f, err
}

// fold applies every taken_back: the latest answer goes, with its question and everything since it was asked.
func fold(all []routines.Fact) []routines.Fact {
	facts := []routines.Fact{}
	for _, f := range all {
		if f.Kind == takenBack {
			facts = facts[:lastQuestion(facts)]
			continue
		}
		facts = append(facts, f)
	}
	return facts
}

// lastQuestion finds where the latest question that was answered was asked; the end where none was.
func lastQuestion(facts []routines.Fact) int {
	answer := lastIndex(facts, func(f routines.Fact) bool { return f.Kind == routines.Answered })
	if answer < 0 {
		return len(facts)
	}
	asked := lastIndex(facts[:answer], func(f routines.Fact) bool {
		return f.Kind == routines.Asked && f.Name == facts[answer].Name
	})
	if asked < 0 {
		return answer
	}
	return asked
}

func lastIndex(facts []routines.Fact, want func(routines.Fact) bool) int {
	for i, f := range slices.Backward(facts) {
		if want(f) {
			return i
		}
	}
	return -1
}
