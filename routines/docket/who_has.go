package docket

import (
	"strings"

	"fettle/routines"
)

// whoHas says who has the values, and what speaks against that they still do.
func (d Docket) whoHas() string {
	h := d.HandedOver
	if h == nil {
		return "Not handed over yet."
	}
	who := "The slicing program"
	if h.To == Firmware {
		who = "The firmware"
	}
	switch {
	case h.ReplacedBy != "":
		return who + " retracts, but was given the values of " + h.ReplacedBy + " since: not these."
	case len(h.Changed) > 0:
		return who + " retracts, but was given other values than these: " + d.labels(h.Changed) + "." + stored(h.Standing)
	}
	return who + " retracts and has these values." + stored(h.Standing)
}

// stored is what a person must know of values that a restart of the printer may take away.
func stored(standing string) string {
	switch standing {
	case routines.NotStored:
		return " They are in use, but not stored: a restart of the printer takes them away."
	case routines.WrittenNotVerified:
		return " They were written, but never read back."
	}
	return ""
}

func (d Docket) labels(kinds []string) string {
	out := make([]string, len(kinds))
	for i, kind := range kinds {
		out[i] = strings.ToLower(d.Row(kind).Label)
	}
	return strings.Join(out, ", ")
}
