package cable

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"fettle/routines"
)

// sent is how the stream went.
type sent struct {
	routines.Streamed
	GaveUp string `json:"gave_up,omitempty"` // why the line did not get to its end
}

// do is the procedure: send, count, judge.
func do(r *routines.Run) (routines.Finding, error) {
	in, err := routines.Inputs[inputs](r.Begin)
	if err != nil {
		return routines.Finding{}, err
	}
	s, err := routines.Act(r, "stream", routines.Looks, func(ctx context.Context, p routines.Printer) (sent, error) {
		done, err := p.Stream(ctx, harmless(int(in.Lines)))
		if errors.Is(err, routines.ErrGaveUp) { // that is what was to be found out
			return sent{done, err.Error()}, nil
		}
		return sent{Streamed: done}, err
	})
	if err != nil {
		return routines.Finding{}, err
	}
	v := judge(s)
	entry, err := v.entry()
	if err != nil {
		return routines.Finding{}, err
	}
	r.Record(entry)
	return v.finding(), nil
}

// body is everything the entry rests on.
type body struct {
	Finding      string  `json:"finding"`
	LinesPerS    float64 `json:"lines_per_s"`
	GoodForLines float64 `json:"good_for_lines"`
	Streamed     sent    `json:"streamed"`
	Program      string  `json:"program"`
}

func (v verdict) entry() (routines.Entry, error) {
	raw, err := json.Marshal(body{v.kind, v.linesPerS, v.goodForLines, v.sent, program})
	if err != nil {
		return routines.Entry{}, fmt.Errorf("print the entry: %w", err)
	}
	return routines.Entry{Kind: "cable_check", Value: &v.linesPerS, Unit: "lines/s", Body: raw}, nil
}
