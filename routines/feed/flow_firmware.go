package feed

import (
	"context"
	"fmt"
	"math"

	"fettle/routines"
)

// speedLimit is how fast filament may be pushed, mm/s, and who says so.
type speedLimit struct {
	SetupMMPerS    float64  `json:"setup_mm_per_s"`
	FirmwareMMPerS *float64 `json:"firmware_mm_per_s,omitempty"` // M203 E; nil where the printer does not tell
}

// most is the lower of the two.
func (l speedLimit) most() float64 {
	if l.FirmwareMMPerS == nil {
		return l.SetupMMPerS
	}
	return math.Min(l.SetupMMPerS, *l.FirmwareMMPerS)
}

// readLimit asks the printer how fast it lets its extruder go, and leaves out the flows that are faster.
func (f *flow) readLimit() error {
	var err error
	f.limit, err = routines.Act(f.Run, "read limit", routines.Looks, func(ctx context.Context, p routines.Printer) (speedLimit, error) {
		l := speedLimit{SetupMMPerS: f.Setup.FeedMaxMMPerS}
		settings, err := p.Settings(ctx)
		if err != nil {
			return l, fmt.Errorf("ask for the settings: %w", err)
		}
		if e, ok := settings.Value("M203", 'E', 0); ok && e > 0 {
			// Some firmwares give it in mm/min: no axis of a filament printer moves at over a metre and a half a second.
			if x, told := settings.Value("M203", 'X', 0); told && x > 1500 {
				e /= 60
			}
			l.FirmwareMMPerS = &e
		}
		return l, nil
	})
	f.tried, f.skipped = riseTo(f.in.fastest(f.Begin), f.areaMM2, f.limit.most())
	return err
}
