package runner

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/serialio"
	"fettle/serialio/gcode"
	"fettle/serialio/machine"
)

// Progress is how far a program has come. What is not known is 0.
type Progress struct {
	Lines   int     `json:"lines,omitempty"` // told done
	OfLines int     `json:"of_lines,omitempty"`
	Bytes   int64   `json:"bytes,omitempty"`
	OfBytes int64   `json:"of_bytes,omitempty"`
	LastedS float64 `json:"lasted_s,omitempty"` // by the program's own times
	OfS     float64 `json:"of_s,omitempty"`
	LeftS   float64 `json:"left_s,omitempty"` // by those, or by the rate so far where it has none; for who waits, however fast a stand-in runs
}

// streaming is a program on its way to the printer.
type streaming struct {
	*hand
	all, done gcode.Extent
	reach     machine.Reach
	began     time.Time
	held      time.Duration // in pauses
	shown     time.Time     // when its progress was told last
	part      int           // how many parts of it are on record
}

// Stream sends a program. What it leaves behind is owed before its first byte, and how it went is on record however it
// ends: with the end of the run where it was broken off.
func (h *hand) Stream(ctx context.Context, p gcode.Program) (routines.Streamed, error) {
	all, err := h.machine().VetHere(ctx, p)
	if err != nil {
		return routines.Streamed{OfLines: all.Lines}, fmt.Errorf("look through the program: %w", err)
	}
	s := &streaming{hand: h, all: all, reach: machine.ReachOf(p), began: time.Now()}
	if err := s.owe(ctx); err != nil {
		return routines.Streamed{OfLines: all.Lines}, err
	}
	h.run.streams(true)
	defer h.run.streams(false)
	s.show()
	defer h.run.at(nil)
	done, err := h.machine().Stream(ctx, p, s.between)
	return s.ended(ctx, routines.Streamed(done), err)
}

// owe writes down what the program leaves behind. One that heats or moves needs an act for which somebody is there.
func (s *streaming) owe(ctx context.Context) error {
	if (s.reach.Moves || s.reach.Heats) && s.run.need != routines.Moves {
		return errNotForMotion
	}
	if err := s.oweHeat(ctx); err != nil {
		return err
	}
	if s.reach.Fans {
		if err := s.run.bench.owe(ctx, fan, "", "M107"); err != nil {
			return err
		}
	}
	return s.oweSettings(ctx)
}

// oweHeat waits for heat that is just being given back, as setNozzle does.
func (s *streaming) oweHeat(ctx context.Context) error {
	if !s.reach.Heats {
		return nil
	}
	release, err := s.run.bench.hold(ctx)
	if err != nil {
		return err
	}
	defer release()
	s.run.hot = true
	return s.run.bench.owe(ctx, heat, "", "M104 S0", "M140 S0")
}

// oweSettings keeps the settings that the program writes as they are found. What the firmware does not tell cannot be given
// back.
func (s *streaming) oweSettings(ctx context.Context) error {
	if len(s.reach.Sets) == 0 {
		return nil
	}
	found, err := s.machine().Settings(ctx)
	if err != nil {
		return fmt.Errorf("read the settings that the program changes: %w", err)
	}
	found.Rows = slices.DeleteFunc(found.Rows, func(r gcode.Setting) bool { return !slices.Contains(s.reach.Sets, r.Word) })
	return s.run.bench.owe(ctx, inUse, "", settable(found)...)
}

// showEvery is how often progress is told, and parts how often in all it is put on record: a run that is killed in the
// middle says how far it came to a twentieth.
const (
	showEvery = 500 * time.Millisecond
	parts     = 20
)

// between is called before each line.
func (s *streaming) between(ctx context.Context, done gcode.Extent) error {
	s.done = done
	for s.run.holding.Load() { // again, if it was asked for while the last one ended
		if err := s.pause(ctx); err != nil {
			return err
		}
	}
	if time.Since(s.shown) >= showEvery {
		s.show()
	}
	if part := done.Lines * parts / s.all.Lines; part > s.part {
		s.part = part
		s.keep(ctx, "")
	}
	return nil
}

func (s *streaming) show() {
	s.shown = time.Now()
	s.run.at(&Doing{What: "streaming", Progress: s.progress()})
}

func (s *streaming) progress() Progress {
	p := Progress{Lines: s.done.Lines, OfLines: s.all.Lines, Bytes: s.done.Bytes, OfBytes: s.all.Bytes,
		LastedS: tenths(s.done.Lasts), OfS: tenths(s.all.Lasts)}
	switch took := time.Since(s.began) - s.held; {
	case s.all.Lasts > 0:
		p.LeftS = tenths(time.Duration(float64(s.all.Lasts-s.done.Lasts) / max(s.run.bench.runner.Speedup, 1)))
	case s.done.Lines > 0:
		p.LeftS = tenths(took / time.Duration(s.done.Lines) * time.Duration(s.all.Lines-s.done.Lines))
	}
	return p
}

func tenths(d time.Duration) float64 { return math.Round(d.Seconds()*10) / 10 }

// keepWithin bounds how long a stream waits for the disk. Heat is not looked at meanwhile.
const keepWithin = 2 * time.Second

// keep puts on record how far the program has come. A store that fails does not end what has begun.
func (s *streaming) keep(ctx context.Context, name string) {
	ctx, cancel := context.WithTimeout(ctx, keepWithin)
	defer cancel()
	step := logbook.Step{Events: []logbook.Event{{Kind: streamingKept, Name: name, Body: mustJSON(s.progress())}}}
	if _, err := s.run.commit(ctx, Underway, step); err != nil {
		s.run.bench.runner.Log.Error("how far the program has come is not kept", "run", s.run.record.ID, "err", err)
	}
}

// Events about a program.
const (
	streamingKept = "streaming" // how far it has come, now and then
	streamedKept  = "streamed"  // how it went
)

// ended puts on record how the stream went. One that was broken off keeps no heater waiting for the disk.
func (s *streaming) ended(ctx context.Context, done routines.Streamed, err error) (routines.Streamed, error) {
	if done.Remarks == nil {
		done.Remarks = []string{}
	}
	event := logbook.Event{Kind: streamedKept, Name: "whole", Body: mustJSON(done)}
	if err != nil {
		event.Name = "broken off"
		s.run.unkept = append(s.run.unkept, event)
		if errors.Is(err, serialio.ErrOutOfStep) {
			err = fmt.Errorf("%w: %w", routines.ErrGaveUp, err)
		}
		return done, fmt.Errorf("stream: %w", err)
	}
	if _, err := s.run.commit(ctx, Underway, logbook.Step{Events: []logbook.Event{event}}); err != nil {
		return done, fmt.Errorf("store how the stream went: %w", err)
	}
	return done, nil
}
