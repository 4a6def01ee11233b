package machine

// A told holds the target that a printer reports against the one it was told. It may have been damaged on its way there,
// or in the report: sent once more, it is either right in the next report or it is a fault. A target that was right and is
// 0 was switched off by somebody, and is not for us to switch on again. It is pure.
type told struct {
	wrong int // reports in a row with another target
	right bool
}

// compare takes the target of one report, °C. again says that ours is to be sent once more; fault is empty where none is.
func (d *told) compare(reportsC, targetC float64) (again bool, fault HeatFault) {
	if near(reportsC, targetC) {
		d.wrong, d.right = 0, true
		return false, ""
	}
	d.wrong++
	off := d.right && reportsC == 0
	switch {
	case d.wrong == 1:
		return !off, ""
	case off:
		return false, SwitchedOff
	}
	return false, WrongTarget
}
