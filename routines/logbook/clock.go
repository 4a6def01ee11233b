package logbook

import (
	"os"
	"time"
)

// A Clock tells the wall time and whether anybody vouches for it. It dates records; nothing is ordered or timed by it.
type Clock func() (wall time.Time, trusted bool)

// SystemClock is trusted once the service that sets the time has left its mark, which a board without a battery-backed
// clock gets only some time after it started. Source of the mark: systemd-timesyncd.service(8), "Files".
func SystemClock() (time.Time, bool) {
	_, err := os.Stat("/run/systemd/timesync/synchronized")
	return time.Now(), err == nil
}

func untrustedClock() (time.Time, bool) { return time.Now(), false }

// stamp is when something happened, in the three ways a record tells it.
type stamp struct {
	monoMS, wallMS int64
	trusted        bool
}

func (b *Book) now() stamp {
	wall, trusted := b.clock()
	return stamp{monoMS: b.monoMS(), wallMS: wall.UnixMilli(), trusted: trusted}
}

func (b *Book) monoMS() int64 { return time.Since(b.opened).Milliseconds() }
