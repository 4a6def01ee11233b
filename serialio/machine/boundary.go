package machine

import (
	"context"
	"errors"
	"time"
)

// boundary is between two lines: whoever streams may hold the program there, and heat is looked at.
func (s *stream) boundary(ctx context.Context) error {
	begun := time.Now()
	err := s.between(ctx, s.done)
	took := time.Since(begun)
	if took > pollEvery {
		s.paused += took
		s.watch = s.m.feedWatch(s.m.held())
		s.watch.heard = s.now()
		s.bed.anew()
	}
	switch {
	case err != nil:
		return err
	case took > pollEvery:
		return s.warmBed(ctx)
	case s.now()-s.polled < pollEvery:
		return nil
	}
	return s.look(ctx)
}

// look asks for the temperatures and shows them to the watch.
func (s *stream) look(ctx context.Context) error {
	before := s.watch.heard
	err := s.m.watched(ctx, s.watch, s.bed, s.now)
	s.polled = s.now()
	if s.watch.heard != before {
		s.unread = 0
	}
	return err
}

// room waits, looking at the heat each second, until a move of that length in time may be sent. One that is longer than
// what may be ahead goes when nothing is; so does M400, which would wait for it without a look at the heat.
func (s *stream) room(ctx context.Context, c command, lasts time.Duration) error {
	if c.name == "M400" {
		lasts = aheadFor
	}
	for wait := s.wait(lasts); wait > 0; wait = s.wait(lasts) {
		if err := s.m.pause(ctx, min(wait, pollEvery)); err != nil {
			return err
		}
		if s.now()-s.polled >= pollEvery {
			if err := s.look(ctx); err != nil {
				return err
			}
		}
	}
	return context.Cause(ctx)
}

func (s *stream) wait(lasts time.Duration) time.Duration {
	return s.pace.wait(s.now(), min(lasts, aheadFor))
}

// ErrBedCold says that the bed did not get warm again.
var ErrBedCold = errors.New("the bed did not get warm again in 15 minutes")

// warmBed looks at the heat behind a pause. A bed that was warm for the program, and that was let go cold in it, is warmed
// again: the piece would come off. One that somebody else has switched off is the watch's business.
func (s *stream) warmBed(ctx context.Context) error {
	aimC, known := s.m.bedAim.celsius()
	if err := s.look(ctx); err != nil || s.bedC == 0 || (known && aimC == s.bedC) {
		return err
	}
	if err := s.m.SetBed(ctx, s.bedC); err != nil {
		return err
	}
	for since := s.now(); s.m.Snapshot().Temps.BedC < s.bedC-bedNearC; {
		if s.now()-since > slowest {
			return ErrBedCold
		}
		if err := s.m.pause(ctx, pollEvery); err != nil {
			return err
		}
		if err := s.look(ctx); err != nil {
			return err
		}
	}
	return nil
}
