package machine

import (
	"context"
	"errors"
	"time"

	"fettle/serialio"
	"fettle/serialio/gcode"
)

// Streamed is how a stream went. Its times are of a clock on the wall: the cable's, not the moves'.
type Streamed struct {
	Lines      int     // told done: the printer has obeyed them, but for the last Unsure ones
	OfLines    int     // the whole program
	Unsure     int     // of Lines, the last ones, which nothing proves
	Bytes      int64   // of those blocks as printed, a line feed behind each
	SentAgain  uint64  // frames that the line sent once more meanwhile
	AskedAfter uint64  // frames whose fate it had to ask for
	Garbled    uint64  // replies that could not be read for certain
	TookS      float64 // pauses included
	PausedS    float64
	SlowestMS  float64  // the longest that an answer to a line took
	Remarks    []string // what the firmware said of its own accord
}

// Stream sends a program, line by line as it is pulled: the memory it takes does not grow with it. The whole program is
// held to the list and the limits before the first byte leaves, and each line once more right before it does, with the head
// where the printer itself says it is. At most 4 s of moves, or one longer one, are ahead of what the printer has done. Heat
// is watched about once a second as in a feed. between, if not nil, is called before each line with how far the program has
// come, and may take long: heat is watched anew behind it. It returns when the moves have ended and the last line is proven.
// What it returns holds with an error too. Errors: *RefusedLine, *HeatError, ErrBedCold, ErrColdPrevented, those of
// between and of the line. After any of them whoever called sends the stop.
func (m *Machine) Stream(ctx context.Context, p gcode.Program, between func(ctx context.Context, done gcode.Extent) error) (Streamed, error) {
	all, err := m.VetHere(ctx, p)
	if err != nil {
		return Streamed{OfLines: all.Lines}, err
	}
	if between == nil {
		between = func(context.Context, gcode.Extent) error { return nil }
	}
	ctx, end := m.untilStopped(ctx)
	defer end()
	s := newStream(m, all, between)
	err = s.run(ctx, p)
	return s.outcome(err)
}

// A stream is one under way.
type stream struct {
	m       *Machine
	all     gcode.Extent
	between func(context.Context, gcode.Extent) error
	track   track
	watch   *watch
	bed     *bedside
	now     func() time.Duration // printer time
	polled  time.Duration        // when heat was looked at last
	pace    pace
	bedC    float64 // as the program has set it, or as it stood when the program began
	remarks remarks

	done            gcode.Extent
	unread          int  // lines told done since a reading came, which proves what was before it
	atRest          bool // the last line waited for the moves to end
	began           time.Time
	paused, slowest time.Duration
	from            serialio.Snapshot
}

func newStream(m *Machine, all gcode.Extent, between func(context.Context, gcode.Extent) error) *stream {
	limits := m.held()
	bedC, _ := m.bedAim.celsius()
	return &stream{m: m, all: all, between: between, track: newTrack(limits), watch: m.feedWatch(limits), bed: &bedside{m: m}, bedC: bedC, now: m.clock(),
		began: time.Now(), from: m.Snapshot()}
}

func (s *stream) run(ctx context.Context, p gcode.Program) error {
	if err := s.begin(ctx); err != nil {
		return err
	}
	for step := range p.Steps {
		if err := s.step(ctx, step); err != nil {
			return err
		}
	}
	return s.end(ctx)
}

// begin brings about what a program may rely on: millimetres, absolute, E at 0. It looks at the heat first, whose report
// also makes the line's counts those of now.
func (s *stream) begin(ctx context.Context) error {
	if err := s.look(ctx); err != nil {
		return err
	}
	s.from = s.m.Snapshot()
	for _, b := range []gcode.Block{block("G21"), block("G90"), block("M82"), block("G92", 'E', 0.0)} {
		if _, err := s.m.send(ctx, b); err != nil {
			return err
		}
	}
	return s.findHead(ctx)
}

// findHead asks where the head is: at the beginning nobody knows, and after homing and probing only the printer does.
func (s *stream) findHead(ctx context.Context) error {
	at, err := s.m.where(ctx)
	s.track.stands(at)
	return err
}

// step takes one line of the program through: its boundary, its limits, its turn, its answer.
func (s *stream) step(ctx context.Context, step gcode.Step) error {
	if err := s.boundary(ctx); err != nil {
		return err
	}
	s.track.limits = s.m.held()
	c, text, lasts, err := s.track.next(step.Block)
	if err != nil {
		return atLine(s.done.Lines+1, err)
	}
	if err := s.room(ctx, c, lasts); err != nil {
		return err
	}
	if err := s.say(ctx, c, step.Block, text); err != nil {
		return err
	}
	s.pace.queued(s.now(), lasts)
	s.done.Add(lasting(step, lasts), len(text))
	s.unread, s.atRest = s.unread+1, c.name == "M400"
	if c.name == "G28" || c.name == "G29" {
		return s.findHead(ctx)
	}
	return nil
}

// say sends a line and keeps what the firmware remarks about it.
func (s *stream) say(ctx context.Context, c command, b gcode.Block, text []byte) error {
	begun := time.Now()
	reply, err := s.send(ctx, c, b, text)
	s.slowest = max(s.slowest, time.Since(begun))
	if s.remarks.keep(reply.Lines); s.remarks.cold {
		return errors.Join(ErrColdPrevented, err)
	}
	return err
}

// send sends what the track has looked at. Heat of the program's own is from then on what is watched for.
func (s *stream) send(ctx context.Context, c command, b gcode.Block, text []byte) (serialio.Reply, error) {
	celsius, _ := b.Value('S')
	if c.name == "M104" {
		reply, err := s.m.setNozzle(ctx, celsius)
		s.watch = newWatch(round(celsius, 1), s.track.limits)
		s.watch.heard = s.now()
		return reply, err
	}
	if c.name == "M140" {
		s.bedC = round(celsius, 1)
		return s.m.setBed(ctx, celsius)
	}
	return s.m.put(ctx, string(text))
}

// end waits until the moves have ended, which also proves every line before. A last look makes the line's counts those of
// the end.
func (s *stream) end(ctx context.Context) error {
	if !s.atRest {
		if err := s.room(ctx, command{name: "M400"}, 0); err != nil {
			return err
		}
		if reply, err := s.m.send(ctx, block("M400")); err != nil {
			s.remarks.keep(reply.Lines)
			return err
		}
	}
	s.unread = 0
	return s.look(ctx)
}
