package docket

import "fettle/routines"

// Kinds of entries that are values of a docket.
const (
	RetractionLength     = "retraction_length_mm"
	RetractSpeed         = "retract_speed_mm_per_s"
	RestartSpeed         = "restart_speed_mm_per_s"
	RestartSurplus       = "restart_surplus_mm"
	ShortestTravel       = "shortest_travel_mm"
	TravelSpeed          = "travel_speed_mm_per_s"
	Lift                 = "lift_mm"
	Wipe                 = "wipe_mm"
	NozzleC              = "nozzle_c"
	BedC                 = "bed_c"
	FanPercent           = "fan_percent"
	FilamentDiameter     = "filament_diameter_mm"
	FlowFactor           = "flow_factor"
	FlowLimit            = "flow_limit_mm3_per_s"
	NozzleBore           = "nozzle_bore_mm"
	PressureCompensation = "pressure_compensation"
	StepsPerMM           = "steps_per_mm"
)

// Kinds of entries that are no value of their own.
const (
	KindChange   = "change"           // what a person changed on the machine
	KindHandover = "handed_over"      // who has the values from then on
	KindSettings = "printer_settings" // the printer's own numbers, to compare later ones with
	kindCheck    = "feed_check"       // "leave" says that the steps/mm it was made with are right
)

// stage is the step of the work in which a value is found, in their order. Common practice, no source.
type stage int

const (
	atAnyTime stage = iota
	atDiameter
	atFeed
	atTemperature
	atFlow
	atTravel
	atLength
)

// again is what finds a value of a stage once more: a routine, or the row that a person types.
var again = [...]string{ // does not change
	atDiameter: "filament_diameter", atFeed: DoFeed, atTemperature: NozzleC, atFlow: "flow_limit", atTravel: DoTravel, atLength: DoLength,
}

// A kind is one row of every docket.
type kind struct {
	name, label, unit string
	stage             stage
	measured          bool                                                      // a run finds it; other kinds a run only holds
	ofPrinter         bool                                                      // the same for every material
	assume            func(routines.Setup, routines.Material) (float64, string) // what holds before any entry, and its source; nil: nothing
	limits            func(routines.Setup, routines.Material) Limits            // what may be typed; nil: nothing
}

// kinds is the list of values that are handed over, in that order. It does not change.
var kinds = [...]kind{
	{name: RetractionLength, label: "Retraction length", unit: "mm", stage: atLength, measured: true, limits: ceiling},
	{name: RetractSpeed, label: "Retract speed", unit: "mm/s", stage: atLength, limits: gearSpeed},
	{name: RestartSpeed, label: "Restart speed", unit: "mm/s", stage: atLength, limits: gearSpeed},
	{name: RestartSurplus, label: "Restart surplus", unit: "mm", assume: practice(0), limits: between(0, 1)},
	{name: ShortestTravel, label: "Shortest travel that retracts", unit: "mm", assume: shortest, limits: between(0, 20)},
	{name: TravelSpeed, label: "Travel speed", unit: "mm/s", stage: atTravel, measured: true, limits: between(10, 1000)},
	{name: Lift, label: "Lift at a retraction", unit: "mm", assume: practice(0), limits: between(0, 5)},
	{name: Wipe, label: "Wipe at a retraction", unit: "mm", assume: practice(0), limits: between(0, 10)},
	{name: NozzleC, label: "Nozzle temperature", unit: "°C", stage: atTemperature, assume: sheetNozzle, limits: nozzleRange},
	{name: BedC, label: "Bed temperature", unit: "°C", assume: sheetBed, limits: bedRange},
	{name: FanPercent, label: "Part fan", unit: "%", limits: between(0, 100)},
	{name: FilamentDiameter, label: "Filament diameter", unit: "mm", stage: atDiameter, measured: true, assume: fittedDiameter, limits: nearDiameter},
	{name: FlowFactor, label: "Flow factor", unit: "1", stage: atFlow, measured: true, limits: between(0.5, 2)},
	{name: FlowLimit, label: "Flow limit", unit: "mm³/s", stage: atFlow, measured: true, limits: between(0.1, 100)},
	{name: NozzleBore, label: "Nozzle bore", unit: "mm", assume: fittedBore},
	{name: PressureCompensation, label: "Pressure compensation", unit: "s", limits: between(0, 10)},
	{name: StepsPerMM, label: "Steps/mm", unit: "steps/mm", stage: atFeed, measured: true, ofPrinter: true},
}

func kindNamed(name string) (kind, bool) {
	for _, k := range kinds {
		if k.name == name {
			return k, true
		}
	}
	return kind{}, false
}

// HoldsForAll reports whether an entry of a kind holds whatever material it was made with.
func HoldsForAll(name string) bool {
	k, known := kindNamed(name)
	return name == kindCheck || known && k.ofPrinter
}

// Kinds are the kinds of entries that a docket follows from.
func Kinds() []string {
	names := []string{KindChange, KindHandover, KindSettings, kindCheck}
	for _, k := range kinds {
		names = append(names, k.name)
	}
	return names
}
