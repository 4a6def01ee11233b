package docket

import (
	"encoding/json"
	"fmt"
	"slices"
)

// conditions are values that others hold for. Where one is another than it was, that is a change without being recorded.
var conditions = [...]struct{ kind, what string }{ // does not change
	{NozzleC, "temperature"}, {FanPercent, "fan"}, {PressureCompensation, "pressure_compensation"},
}

// stale says why a value that was found by an entry no longer holds.
func (f fold) stale(k kind, found Entry) []Why {
	out := []Why{}
	for _, c := range f.changes {
		e := c.entry
		if e.ID <= found.ID || e.Material != "" && !k.ofPrinter && e.Material != f.material.ID || !slices.Contains(c.stages, k.stage) {
			continue
		}
		if slices.ContainsFunc(out, func(w Why) bool { return w.What == c.What }) {
			continue // it was stale by then
		}
		at := e.At
		out = append(out, Why{What: c.What, Text: c.Label + " since then", Entry: e.ID, At: &at})
	}
	if off, why := f.outOfReach(k, found); off && !slices.ContainsFunc(out, func(w Why) bool { return w.What == filamentSize }) {
		out = append(out, why)
	}
	for _, c := range conditions {
		change, _ := ChangeNamed(c.what)
		if slices.Contains(change.stages, k.stage) {
			out = append(out, f.differs(c.kind, c.what, found)...)
		}
	}
	return out
}

// outOfReach says that a diameter cannot be that of the filament which the setup names.
func (f fold) outOfReach(k kind, found Entry) (bool, Why) {
	if k.name != FilamentDiameter || found.Value == nil {
		return false, Why{}
	}
	near := nearDiameter(f.setup, f.material)
	return *found.Value < near.Min || *found.Value > near.Max, Why{What: filamentSize,
		Text: fmt.Sprintf("it is %s, and the setup says %s", quantity(*found.Value, k.unit), quantity(f.setup.FilamentDiameterMM, k.unit))}
}

// recorded is the change that an entry is about.
func recorded(e Entry) (Change, bool) {
	var body ChangeBody
	if e.Kind != KindChange || json.Unmarshal(e.Body, &body) != nil {
		return Change{}, false
	}
	return ChangeNamed(body.What)
}

// differs says that a condition is another than when the value was found, where both are known.
func (f fold) differs(condition, what string, found Entry) []Why {
	k, _ := kindNamed(condition)
	then, known := f.heldAt(k, found)
	now, still := f.heldNow(k)
	if !known || !still || then == now {
		return nil
	}
	return []Why{{What: what, Text: fmt.Sprintf("%s was %s when it was found, and is %s", k.label, quantity(then, k.unit), quantity(now, k.unit))}}
}

// heldAt is a condition as it was when something was found. What a run recorded of itself is what it held to, whatever the
// order in which it recorded it. What was assumed is known only where the run wrote it down: the material's record may say
// something else by now.
func (f fold) heldAt(k kind, found Entry) (float64, bool) {
	if v, ok := f.written(k, found); ok {
		return v, true
	}
	line := f.line(k)
	for _, e := range slices.Backward(line) {
		if e.ID <= found.ID || found.Run != "" && e.Run == found.Run {
			return *e.Value, true
		}
	}
	return f.assumed(k)
}

func (f fold) heldNow(k kind) (float64, bool) {
	if line := f.line(k); len(line) > 0 {
		return *line[len(line)-1].Value, true
	}
	return f.assumed(k)
}

func (f fold) assumed(k kind) (float64, bool) {
	if k.assume == nil {
		return 0, false
	}
	value, _ := k.assume(f.setup, f.material)
	return value, true
}
