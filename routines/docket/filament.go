package docket

// FilamentMM is the diameter that a section is reckoned with, mm: as it was found with this material, as long as that holds,
// else as the printer is fitted.
func (d Docket) FilamentMM(fittedMM float64) float64 {
	if r := d.Row(FilamentDiameter); r != nil && r.Value != nil && r.Fresh {
		return *r.Value
	}
	return fittedMM
}
