package feed

import (
	"fmt"

	"fettle/routines"
)

// What the questions of two flags are answered with.
type (
	flagsAnswer struct {
		FlagsMM float64 `json:"flags_mm"`
	}
	nearAnswer struct {
		NearMM  *float64 `json:"near_mm"`
		Instead string   `json:"instead"`
	}
)

// nearMM is where the near flag is wanted when it is read, and mostNearMM the farthest: only short ways are read at the
// inlet, since filament that bends reads 0.03 mm short over 20 mm and 7 over 120.
const (
	nearMM     = 20
	mostNearMM = 30
)

// passFlags does one pass with two flags. They are set on filament that lies straight, and their distance is measured there,
// free of the printer and before anything heats; then the play is taken up, the near flag is read and taken off, and only then is
// fed. Another pass heats anew, since setting flags takes longer than plastic keeps.
func (c *check) passFlags(n int, _ bool) (pass, error) {
	p := pass{Number: n}
	for try := 1; ; try++ {
		again, err := c.setFlags(&p, try)
		if err != nil {
			return p, err
		}
		if p.Done.Prevented {
			return p, c.heaterOff()
		}
		if !again {
			break
		}
		if err := c.heaterOff(); err != nil {
			return p, err
		}
	}
	var err error
	if p.Done, err = c.feed(fmt.Sprintf("feed %d", n), c.in.CommandedMM); err != nil {
		return p, err
	}
	if err := c.heaterOff(); err != nil || p.Done.Prevented {
		return p, err
	}
	return c.readFar(p)
}

// setFlags lets the person set both flags, takes up the play and has the near one read. again says that it has gone in, or
// that the filament sagged while it cooled: both flags are then set anew.
func (c *check) setFlags(p *pass, try int) (again bool, err error) {
	flags, err := routines.Ask[flagsAnswer](c.Run, c.askFlags(numbered("flags", p.Number, try)))
	if err != nil {
		return false, err
	}
	if err := c.heat(); err != nil {
		return false, err
	}
	if p.Done, err = c.feed(numbered("pre-feed", p.Number, try), c.in.PreFeedMM); err != nil || p.Done.Prevented {
		return false, err
	}
	near, err := routines.Ask[nearAnswer](c.Run, c.askNear(numbered("near flag", p.Number, try), flags.FlagsMM))
	if err != nil || near.NearMM == nil || c.WentCold() {
		return err == nil, err
	}
	p.FlagsMM, p.MarkMM = flags.FlagsMM, tidy(flags.FlagsMM+*near.NearMM)
	return false, nil
}

func (c *check) readFar(p pass) (pass, error) {
	p, err := c.look(p)
	if err != nil {
		return p, err
	}
	far, err := routines.Ask[leftoverAnswer](c.Run, c.askFar(p))
	p.LeftoverMM, p.Instead = far.LeftoverMM, far.Instead
	return p, err
}
