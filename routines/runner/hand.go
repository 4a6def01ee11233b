package runner

import (
	"context"
	"errors"
	"fmt"
	"math"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/serialio/gcode"
	"fettle/serialio/machine"
)

// hand is the printer as a routine sees it: each verb of the machine, with what it leaves behind owed beforehand.
type hand struct{ run *run }

func (h *hand) machine() *machine.Machine { return h.run.bench.machine }

func (h *hand) Settings(ctx context.Context) (gcode.Settings, error) {
	return h.machine().Settings(ctx)
}

func (h *hand) Feed(ctx context.Context, lengthMM, speedMMPerS float64) (routines.FeedDone, error) {
	show := func(fedMM float64) {
		h.run.at(&Doing{What: "feeding", FedMM: math.Round(fedMM*100) / 100, OfMM: lengthMM})
	}
	show(0)
	defer h.run.at(nil)
	commanded, remarks, err := h.machine().Feed(ctx, lengthMM, speedMMPerS, show)
	done := routines.FeedDone{CommandedMM: commanded, SpeedMMPerS: speedMMPerS, Remarks: remarks}
	if errors.Is(err, machine.ErrColdPrevented) {
		done.Prevented = true // a finding of the routine's, not a failure of the run
	} else if err != nil {
		return done, fmt.Errorf("feed %g mm: %w", lengthMM, err)
	}
	if s := h.machine().Snapshot(); s.Temps.HasNozzle {
		done.NozzleC = s.Temps.NozzleC
	}
	return done, nil
}

// heat brings bed and nozzle to their temperatures and waits; the heaters are owed from before the first word. The bed comes
// first, since plastic cooks in a nozzle that waits for it. Between two acts without a question nothing is waited for again.
func (h *hand) heat(ctx context.Context, want routines.Heat) error {
	if want == (routines.Heat{}) || (want == h.run.warm && !h.run.handsDue) {
		return nil
	}
	if want.BedC > 0 {
		h.run.at(&Doing{What: "heating the bed", TargetC: want.BedC})
		if err := h.set(ctx, func() error { return h.machine().SetBed(ctx, want.BedC) }); err != nil {
			return fmt.Errorf("heat the bed to %.0f °C: %w", want.BedC, err)
		}
		if err := h.machine().WaitBed(ctx, want.BedC); err != nil {
			return fmt.Errorf("heat the bed to %.0f °C: %w", want.BedC, err)
		}
	}
	if want.NozzleC > 0 {
		h.run.at(&Doing{What: "heating", TargetC: want.NozzleC})
		if err := h.set(ctx, func() error { return h.machine().SetNozzle(ctx, want.NozzleC) }); err != nil {
			return fmt.Errorf("heat to %.0f °C: %w", want.NozzleC, err)
		}
		if err := h.machine().WaitNozzle(ctx, want.NozzleC); err != nil {
			return fmt.Errorf("heat to %.0f °C: %w", want.NozzleC, err)
		}
	}
	h.run.warm = want
	return nil
}

// set waits for heat that is just being given back, or it would be switched off with it and no longer owed.
func (h *hand) set(ctx context.Context, target func() error) error {
	release, err := h.run.bench.hold(ctx)
	if err != nil {
		return err
	}
	defer release()
	if err := h.run.bench.owe(ctx, heat, "", "M104 S0", "M140 S0"); err != nil {
		return err
	}
	h.run.hot = true
	return target()
}

// setMultipliersAside makes a commanded millimetre a millimetre: no volume mode, no multipliers. What stood otherwise
// is owed; what the firmware does not tell cannot be given back.
func (h *hand) setMultipliersAside(ctx context.Context) error {
	m := h.machine()
	settings, err := m.Settings(ctx)
	if err != nil {
		return fmt.Errorf("read the settings: %w", err)
	}
	flowPercent, speedPercent, err := m.Multipliers(ctx)
	if err != nil {
		return fmt.Errorf("read the multipliers: %w", err)
	}
	asides := []struct{ what, word, found string }{
		{volume, "M200 D0", volumeFound(settings)},
		{flow, "M221 S100", percentFound("M221", flowPercent)},
		{speed, "M220 S100", percentFound("M220", speedPercent)},
	}
	for _, a := range asides {
		if a.found != "" {
			if err := h.run.bench.owe(ctx, a.what, "", a.found); err != nil {
				return err
			}
		}
		if err := m.Set(ctx, a.word); err != nil && !isFirmware(err) {
			return fmt.Errorf("send %s: %w", a.word, err)
		}
	}
	return nil
}

// volumeFound is the word that gives volume mode back, empty where it was off.
func volumeFound(s gcode.Settings) string {
	for _, row := range s.Rows {
		if d, ok := s.Value("M200", 'D', row.Tool); row.Word == "M200" && ok && d > 0 {
			return row.Line()
		}
	}
	return ""
}

func percentFound(word string, percent *float64) string {
	if percent == nil || *percent == 100 {
		return ""
	}
	return fmt.Sprintf("%s S%g", word, *percent)
}

// RestoreSetAsides gives multipliers and volume mode back, heater off first.
func (h *hand) RestoreSetAsides(ctx context.Context) error {
	h.run.at(&Doing{What: "restoring"})
	defer h.run.at(nil)
	h.run.hot, h.run.warm, h.run.setAside = false, routines.Heat{}, false
	return h.run.bench.pay(ctx, append([]string{heat}, setAsides...)...)
}

// CompareStored reads what is in use, loads what is stored, reads again, and gives back what was in use.
func (h *hand) CompareStored(ctx context.Context) ([]gcode.Difference, error) {
	return h.run.bench.compareStored(ctx, h.run.bench.pay)
}

// compareStored is for whoever holds the printer; pay gives back what is owed.
func (b *bench) compareStored(ctx context.Context, pay func(ctx context.Context, only ...string) error) ([]gcode.Difference, error) {
	m := b.machine
	used, err := m.Settings(ctx)
	if err != nil {
		return nil, fmt.Errorf("read the settings in use: %w", err)
	}
	if err := b.owe(ctx, inUse, "", settable(used)...); err != nil {
		return nil, err
	}
	if err := m.Load(ctx); err != nil {
		if isFirmware(err) { // no store to compare with; the write will find out and say so
			return nil, b.paid(ctx, inUse, logbook.Step{})
		}
		return nil, fmt.Errorf("load the stored settings: %w", err)
	}
	stored, err := m.Settings(ctx)
	if err != nil {
		return nil, fmt.Errorf("read the stored settings: %w", err)
	}
	differ := used.Diff(stored)
	if len(differ) == 0 {
		return nil, b.paid(ctx, inUse, logbook.Step{})
	}
	for i := range differ {
		differ[i].Lost = len(lines(differ[i:i+1])) == 0
	}
	return differ, pay(ctx, inUse)
}

// settable are the words of a settings report that can be sent again.
func settable(s gcode.Settings) []string {
	var lines []string
	for _, row := range s.Rows {
		if line := row.Line(); machine.Settable(line) {
			lines = append(lines, line)
		}
	}
	return lines
}
