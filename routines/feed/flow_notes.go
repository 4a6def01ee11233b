package feed

import (
	"fmt"
	"slices"
	"strings"
)

// evenNotes tell a shortfall that is the same at every flow from one that grows.
func (f *flow) evenNotes(k found) []string {
	if !k.short() {
		return nil
	}
	return []string{fmt.Sprintf("%s %s is missing at low flow already, before it falls: that is no slip. A slow feed check tells what it is.",
		asSureAs(100*k.Short, 100*k.ShortU95), plusMinus(100*k.ShortU95, "%"))}
}

// flowNotes are what a person should know beside the number.
func (f *flow) flowNotes() []string {
	var out []string
	if why := f.skippedWords(); why != "" {
		out = append(out, why)
	}
	if f.limit.FirmwareMMPerS == nil {
		out = append(out, "This printer does not tell how fast it lets its extruder go: a block that it slowed down would look like one that went in.")
	}
	if b, cold := f.coldest(f.fastestRead()); cold {
		out = append(out, fmt.Sprintf("The nozzle read only %s of %s at %s: there the heater is the limit.", number(b.Done.NozzleC), unit(f.nozzleC, "°C"),
			unit(b.FlowMM3PerS, "mm³/s")))
	}
	if slices.ContainsFunc(f.blocks, func(b block) bool { return b.Instead == grinding }) {
		out = append(out, "Cut off the ground piece and brush the gear before the next print.")
	}
	for _, b := range f.blocks {
		for _, said := range b.Done.Remarks {
			if note := fmt.Sprintf("The printer said: %q.", said); !slices.Contains(out, note) {
				out = append(out, note)
			}
		}
	}
	return out
}

// skippedWords say which flows were left out and why, or "".
func (f *flow) skippedWords() string {
	if len(f.skipped) == 0 {
		return ""
	}
	flows := make([]string, len(f.skipped))
	for i, flow := range f.skipped {
		flows[i] = number(flow)
	}
	whose := "the setup's limit"
	if f.limit.FirmwareMMPerS != nil && *f.limit.FirmwareMMPerS < f.limit.SetupMMPerS {
		whose = "the firmware's limit (M203 E)"
	}
	return fmt.Sprintf("Left out: %s, faster than %s of %s.", strings.Join(flows, ", ")+"\u00a0mm³/s", whose, unit(f.limit.most(), "mm/s"))
}

// unitAsSureOf prints x to the last digit of its expanded uncertainty u, with its unit.
func unitAsSureOf(x, u float64, of string) string { return asSureAs(x, u) + "\u00a0" + of }
