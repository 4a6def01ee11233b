package machine

import (
	"context"
	"time"

	"fettle/serialio"
)

// bedSlowest is how long is waited for a bed, in printer time (common practice, no source).
const bedSlowest = 30 * time.Minute

// SetBed sets the bed's target, °C; 0 is off. It returns when the printer has accepted it. From then on the bed is watched
// whenever heat is, until it is set otherwise.
func (m *Machine) SetBed(ctx context.Context, celsius float64) error {
	_, err := m.setBed(ctx, celsius)
	return err
}

func (m *Machine) setBed(ctx context.Context, celsius float64) (serialio.Reply, error) {
	celsius = round(celsius, 1)
	if err := m.held().bed("M140", celsius); err != nil {
		return serialio.Reply{}, err
	}
	pending := m.bedAim.unsure()
	reply, err := m.send(ctx, block("M140", 'S', celsius))
	if err == nil {
		m.bedAim.sure(pending, celsius)
	}
	return reply, err
}

// WaitBed waits until the bed has been within 3 °C of celsius for 10 s and has hardly moved there, or for a minute however
// it moves, looking once a second. The target must have been set before. A nozzle that is hot meanwhile is watched too. It
// returns a *HeatError for what bed_watch.go and watch.go forbid; heat is then still on, and whoever called sends the stop.
func (m *Machine) WaitBed(ctx context.Context, celsius float64) error {
	celsius = round(celsius, 1)
	limits := m.held()
	if err := limits.bed("M140", celsius); err != nil {
		return err
	}
	if celsius == 0 {
		return &RefusedError{"M140", "there is no waiting for 0 °C", "a temperature above 0 °C"}
	}
	ctx, end := m.untilStopped(ctx)
	defer end()
	bed := &bedside{m, newBedWatch(celsius, limits)}
	var nozzle *watch
	if targetC, known := m.aim.celsius(); known && targetC > 0 {
		nozzle = m.feedWatch(limits)
	}
	now := m.clock()
	for {
		if err := m.patient(ctx, m.watched(ctx, nozzle, bed, now)); err != nil {
			return err
		}
		if bed.watch.targetC == celsius && bed.watch.arrived(now()) {
			return nil
		}
		if now() > bedSlowest {
			return bed.watch.fail(TooSlow)
		}
		if err := m.pause(ctx, pollEvery); err != nil {
			return err
		}
	}
}
