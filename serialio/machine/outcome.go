package machine

import (
	"errors"
	"fmt"
	"time"

	"fettle/serialio"
)

// outcome is how the stream went, and the error with how far it came.
func (s *stream) outcome(err error) (Streamed, error) {
	took := time.Since(s.began)
	unsure := s.unsure(err)
	counts := s.m.Snapshot().Counts
	out := Streamed{Lines: s.done.Lines, OfLines: s.all.Lines, Unsure: unsure, Bytes: s.done.Bytes,
		SentAgain: counts.Again - s.from.Counts.Again, AskedAfter: counts.Asked - s.from.Counts.Asked, Garbled: counts.Garbled - s.from.Counts.Garbled,
		TookS: round(took.Seconds(), 3), PausedS: round(s.paused.Seconds(), 3), SlowestMS: round(1000*s.slowest.Seconds(), 3), Remarks: s.remarks.list}
	if err == nil {
		return out, nil
	}
	return out, fmt.Errorf("ended after %d of %d lines, the last %d of them not proven: %w", out.Lines, out.OfLines, out.Unsure, err)
}

// breaks are the errors with which a conversation ends; the line then says how many lines nothing proves.
var breaks = []error{serialio.ErrStopped, serialio.ErrHalted, serialio.ErrUnplugged, serialio.ErrRestarted, serialio.ErrOutOfStep, serialio.ErrNotListening}

// breakWithin is how long the line may take to say so: a stop waits for nothing, and so it may not have yet.
const breakWithin = time.Second

// unsure is how many of the lines told done, the last ones, nothing proves.
func (s *stream) unsure(err error) int {
	if !isBreak(err) {
		return s.unread
	}
	late := time.NewTimer(breakWithin)
	defer late.Stop()
	for {
		news, now := s.m.Changed(), s.m.Snapshot()
		if now.Breaks != s.from.Breaks {
			return min(now.Unsure, s.done.Lines)
		}
		select {
		case <-news:
		case <-late.C:
			return s.unread
		}
	}
}

func isBreak(err error) bool {
	for _, b := range breaks {
		if errors.Is(err, b) {
			return true
		}
	}
	return false
}
