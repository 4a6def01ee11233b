package feed

import "fmt"

// trouble names what is no matter of a flow limit, or "".
func (f *flow) trouble() string {
	b := f.last()
	part, read := b.part()
	switch {
	case b.Done.Prevented:
		return "The printer refused to feed: by its own reading the nozzle is too cold."
	case b.Instead == cameOut:
		return "Filament came out of the inlet instead of going in. Does the motor turn backwards?"
	case b.Instead == markWentIn || read && part > 1.2:
		return fmt.Sprintf("More went in than the %s that were commanded. Do a feed check first.", unit(f.in.BlockMM, "mm"))
	case read && b.Number == 1 && part < 0.5:
		return fmt.Sprintf("Only %s of %s went in at the slowest flow. Look at the gear's grip, the nozzle and its temperature, then do a feed check.",
			unit(part*b.Done.CommandedMM, "mm"), unit(b.Done.CommandedMM, "mm"))
	}
	return ""
}
