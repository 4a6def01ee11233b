package docket

import (
	"encoding/json"
	"slices"
)

// restsOn is what the entry of a run says that its value rests on: a ladder what it held, a flow limit its temperature.
type restsOn struct {
	NozzleC *float64 `json:"nozzle_c"`
	Held    struct {
		NozzleC    *float64 `json:"nozzle_c"`
		FanPercent *float64 `json:"fan_percent"`
	} `json:"held"`
}

func (r restsOn) of(kind string) *float64 {
	switch {
	case kind == FanPercent:
		return r.Held.FanPercent
	case kind == NozzleC && r.Held.NozzleC != nil:
		return r.Held.NozzleC
	case kind == NozzleC:
		return r.NozzleC
	}
	return nil
}

// saysRests are the kinds of entries that say what they rest on. Strokes of the same run rest on the same.
var saysRests = []string{RetractionLength, TravelSpeed, FlowLimit} // does not change

// written is a condition as the run wrote it down that found something.
func (f fold) written(k kind, found Entry) (float64, bool) {
	if found.Run == "" || k.name != NozzleC && k.name != FanPercent {
		return 0, false
	}
	for i := range f.entries {
		e := &f.entries[i]
		if e.Run != found.Run || !slices.Contains(saysRests, e.Kind) {
			continue
		}
		var rests restsOn
		if len(e.Body) == 0 || json.Unmarshal(e.Body, &rests) != nil {
			continue
		}
		if v := rests.of(k.name); v != nil {
			return *v, true
		}
	}
	return 0, false
}
