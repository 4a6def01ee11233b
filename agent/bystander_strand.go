package main

import (
	"encoding/json"

	"fettle/routines/gauge"
	"fettle/serialio/standin"
)

// strandHeld is what the person knows of the filament while a run lasts, from what they were asked.
type strandHeld struct {
	own    *gauge.Instrument // the gauge of their own, where the run was begun with one
	nearMM float64           // where the near flag is wanted, above the inlet
	pullMM float64           // how far the filament is to be pulled back
	place  int               // where across the filament is to be read, from 1; 0: nowhere yet
	square bool              // a quarter turn on
}

// ownGauge is the gauge that a run's inputs describe, or nil.
func ownGauge(inputs json.RawMessage) *gauge.Instrument {
	var in struct {
		DivisionMM *float64 `json:"own_division_mm"`
		LimitMM    *float64 `json:"own_limit_mm"`
	}
	if json.Unmarshal(inputs, &in) != nil || in.DivisionMM == nil || in.LimitMM == nil {
		return nil
	}
	own := gauge.Own(*in.DivisionMM, *in.LimitMM)
	return &own
}

// hear takes in where a question wants something.
func (h *strandHeld) hear(question json.RawMessage) {
	var q struct {
		Figure string `json:"figure"`
		Shown  struct {
			NearMM float64 `json:"near_mm"`
			PullMM float64 `json:"pull_mm"`
			Place  int     `json:"place"`
			Square bool    `json:"square"`
		} `json:"shown"`
	}
	if json.Unmarshal(question, &q) != nil {
		return
	}
	switch q.Figure {
	case "flags":
		h.nearMM = q.Shown.NearMM
	case "unload":
		h.pullMM = q.Shown.PullMM
	case "across":
		h.place, h.square = q.Shown.Place, q.Shown.Square
	}
}

// do does what an answer says that they did with the filament.
func (h *strandHeld) do(bench standin.Bench, answer json.RawMessage) {
	var said struct {
		MarkMM   *float64 `json:"mark_mm"`
		FlagsMM  *float64 `json:"flags_mm"`
		PathOpen bool     `json:"path_open"`
		Pulled   bool     `json:"pulled_back"`
		Undone   bool     `json:"undone"` // the coupler
		Cut      bool     `json:"cut"`
	}
	if json.Unmarshal(answer, &said) != nil {
		return
	}
	switch {
	case said.MarkMM != nil:
		bench.Mark(*said.MarkMM)
	case said.FlagsMM != nil:
		bench.Flags(h.nearMM, *said.FlagsMM)
	case said.Pulled:
		bench.PullBack(h.pullMM)
	case said.PathOpen, said.Undone:
		bench.OpenPath(true)
	case said.Cut:
		bench.Cut()
	}
}
