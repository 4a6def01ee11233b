package gcode

// Temperatures is what a printer says of its heaters, °C, of the active tool and the bed.
type Temperatures struct {
	NozzleC       float64 `json:"nozzle_c"`
	NozzleTargetC float64 `json:"nozzle_target_c"`
	BedC          float64 `json:"bed_c"`
	BedTargetC    float64 `json:"bed_target_c"`
	HasNozzle     bool    `json:"has_nozzle"`
	HasTarget     bool    `json:"has_target"` // every heater that is reported came with its target
	HasBed        bool    `json:"has_bed"`
}

// Position is where the printer says it is, mm.
type Position struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
	Z float64 `json:"z"`
	E float64 `json:"e"`
}

// Identity is what a printer says of itself (M115).
type Identity struct {
	Firmware string          `json:"firmware"`
	Machine  string          `json:"machine"`
	UUID     string          `json:"uuid"`
	Raw      string          `json:"raw"`
	Caps     map[string]bool `json:"caps,omitempty"`
}
