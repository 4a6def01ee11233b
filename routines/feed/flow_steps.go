package feed

import (
	"fmt"

	"fettle/routines"
	"fettle/routines/gauge"
)

// flow is one search for the flow limit underway: what it was begun with and what it has measured.
type flow struct {
	*routines.Run
	in             flowInputs
	gauge          gauge.Instrument
	nozzleC        float64
	areaMM2        float64 // of the filament
	limit          speedLimit
	tried, skipped []float64 // flows, mm³/s
	blocks         []block
	leftMM         *float64 // how far the mark is, while filament and nozzle are as they were when it was read
}

// doFlow is the procedure, from the first look to the finding.
func doFlow(r *routines.Run) (routines.Finding, error) {
	f, err := planFlow(r)
	if err != nil {
		return routines.Finding{}, err
	}
	if err := f.readLimit(); err != nil {
		return routines.Finding{}, err
	}
	if len(f.tried) < leastFlows {
		return f.tooFew(), nil
	}
	if _, err := routines.Ask[struct{}](r, f.askFlowAir()); err != nil {
		return routines.Finding{}, err
	}
	if err := f.climb(); err != nil {
		return routines.Finding{}, err
	}
	if err := r.Hot(routines.Heat{}); err != nil {
		return routines.Finding{}, err
	}
	return f.conclude()
}

// planFlow works out what the inputs come to on this setup.
func planFlow(r *routines.Run) (*flow, error) {
	in, err := routines.Inputs[flowInputs](r.Begin)
	if err != nil {
		return nil, err
	}
	workingC := in.workingC(r.Begin)
	g, ok := in.asCheck(workingC).instrument()
	if !ok {
		return nil, fmt.Errorf("plan the climb: no gauge %q", in.Gauge)
	}
	return &flow{Run: r, in: in, gauge: g, nozzleC: workingC, areaMM2: flowAreaMM2(r.Begin)}, nil
}

// climb feeds one block after the other, each faster, until the drive no longer keeps up; then two between the last that
// it kept up with and the first that it did not; then slower ones, where it may not have kept up with any.
func (f *flow) climb() error {
	for i, flow := range f.tried {
		if err := f.block(i+1, flow, len(f.tried)-i); err != nil {
			return err
		}
		if f.over() {
			return nil
		}
		if f.fallen() {
			return f.closeIn(f.tried[i-1], flow)
		}
	}
	return nil
}

// closeIn feeds two blocks more, between a flow that went in and one that did not. Without two flows that surely went in
// there is nothing that the others fall from: then two more, about the slowest.
func (f *flow) closeIn(heldMM3PerS, fellMM3PerS float64) error {
	if err := f.more(between(heldMM3PerS, fellMM3PerS)); err != nil || f.over() {
		return err
	}
	if k := f.find(); k.Is || !k.fromTheStart() {
		return nil
	}
	return f.more(about(f.tried[0], f.tried[1], f.areaMM2))
}

// more feeds blocks in the order of their flows.
func (f *flow) more(flows []float64) error {
	for i, flow := range flows {
		if err := f.block(len(f.blocks)+1, flow, len(flows)-i); err != nil || f.over() {
			return err
		}
	}
	return nil
}

// over reports whether nothing more may be fed.
func (f *flow) over() bool { return f.trouble() != "" || f.last().complained() }

func (f *flow) last() block { return f.blocks[len(f.blocks)-1] }

// fallen reports whether the last block surely fell short of the first ones.
func (f *flow) fallen() bool {
	var parts []float64
	for _, b := range f.blocks {
		if part, read := b.part(); read {
			parts = append(parts, part)
		}
	}
	return fell(parts, blockSD(f.gauge, f.in.BlockMM), f.in.TolerancePercent/100)
}

// keep adds a block and records it. Where the mark has to be set anew, another run may take over from here.
func (f *flow) keep(b block) error {
	f.blocks = append(f.blocks, b)
	f.Record(f.blockEntry(b))
	if f.leftMM != nil {
		return nil
	}
	return f.Whole(fmt.Sprintf("block %d", b.Number))
}
