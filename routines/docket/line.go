package docket

import (
	"encoding/json"
	"slices"

	"fettle/routines"
)

// line is the values that a row has had, oldest first.
func (f fold) line(k kind) []Entry {
	var out []Entry
	for i := range f.entries {
		e := &f.entries[i]
		if !k.ofPrinter && e.Material != f.material.ID || e.Standing == routines.NotWritten {
			continue
		}
		if k.name == StepsPerMM && e.Kind == kindCheck {
			if steps, ok := proved(*e); ok {
				out = append(out, steps)
			}
		} else if e.Kind == k.name && e.Value != nil {
			out = append(out, *e)
		}
	}
	return out
}

// proved is the steps/mm that a feed check found to be right.
func proved(check Entry) (Entry, bool) {
	var body struct {
		Finding string   `json:"finding"`
		Steps   *float64 `json:"measured_with_steps_per_mm"`
		Percent float64  `json:"u95_percent"`
	}
	if json.Unmarshal(check.Body, &body) != nil || body.Finding != "leave" || body.Steps == nil {
		return Entry{}, false
	}
	check.Value, check.Unit, check.U95 = body.Steps, "steps/mm", nil
	if body.Percent > 0 {
		u95 := rounded(*body.Steps * body.Percent / 100)
		check.U95 = &u95
	}
	return check, true
}

// ValueBody is what the entry of a value holds that no run found.
type ValueBody struct {
	How  string `json:"how"`          // Typed or Reverted
	Of   int64  `json:"of,omitempty"` // the entry that holds again
	Note string `json:"note,omitempty"`
}

func bodyOf(e Entry) (b ValueBody) {
	if e.Run != "" || json.Unmarshal(e.Body, &b) != nil {
		return ValueBody{}
	}
	return b
}

// root is the entry by which a value was found: a value that holds again is as old as it was then.
func (f fold) root(e Entry) Entry {
	for bodyOf(e).How == Reverted {
		of := bodyOf(e).Of
		i := slices.IndexFunc(f.entries, func(o Entry) bool { return o.ID == of })
		if i < 0 || of >= e.ID { // only ever backwards
			break
		}
		e = f.entries[i]
	}
	return e
}
