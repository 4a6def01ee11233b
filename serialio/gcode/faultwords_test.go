package gcode

import (
	"strings"
	"testing"
)

// The texts are of the community's public page "G-code" as far as it has them; the others are common practice, no source.
func TestFaultsInPlainWords(t *testing.T) {
	for text, want := range map[string]struct {
		kind   FaultKind
		heater string
	}{
		"Heating failed, system stopped! Heater_ID: 0":         {HeatingFailed, "the nozzle"},
		"Error:Heating failed, system stopped! Heater_ID: bed": {HeatingFailed, "the bed"},
		"Thermal Runaway, system stopped! Heater_ID: bed":      {Runaway, "the bed"},
		"Error:Thermal Runaway, system stopped! Heater_ID: 0":  {Runaway, "the nozzle"},
		"MINTEMP triggered, system stopped! Heater_ID: 0":      {ReadsTooCold, "the nozzle"},
		"MAXTEMP triggered, system stopped! Heater_ID: -1":     {ReadsTooHot, "the bed"},
		"MAXTEMP triggered": {ReadsTooHot, "a heater"},
		"Temperature heated bed switched off. MAXTEMP triggered !": {ReadsTooHot, "the bed"},
		"Printer halted. kill() called!":                           {StoppedItself, "a heater"},
		"!!":                                                       {StoppedItself, "a heater"},
		"Printer stopped: heater 0 is not connected":               {HeaterFault, "the nozzle"},
		"heater fault: chamber":                                    {HeaterFault, "the chamber"},
	} {
		f, ok := FaultOf(text)
		if !ok || f.Kind != want.kind || f.Heater != want.heater {
			t.Errorf("%q: %+v, %t", text, f, ok)
		}
		if named := strings.Contains(strings.ToLower(f.Means), f.Heater); named == (f.Kind == StoppedItself) {
			t.Errorf("%q: %q names %q: %t", text, f.Means, f.Heater, named)
		}
	}
	for _, text := range []string{"", "ok", "checksum mismatch, Last Line: 5", "no storage for settings", "cold extrusion prevented"} {
		if f, ok := FaultOf(text); ok {
			t.Errorf("%q is taken for %+v", text, f)
		}
	}
}

// TestEveryKindOfFaultHasItsWords: one sentence of what it means, and what to look at; short enough for a phone.
func TestEveryKindOfFaultHasItsWords(t *testing.T) {
	for _, s := range faultSigns {
		f, ok := FaultOf("Error:" + s.sign)
		if !ok || f.Kind != s.kind {
			t.Errorf("%q: %+v", s.sign, f)
		}
		if strings.Count(f.Means, ".") != 1 || !strings.HasSuffix(f.Means, ".") || strings.ContainsAny(f.Means, "{}") || len(f.Means) > 120 {
			t.Errorf("%s means %q", f.Kind, f.Means)
		}
		if len(f.Look) < 20 || len(f.Look) > 160 {
			t.Errorf("%s: look %q", f.Kind, f.Look)
		}
		if r := ParseReply([]byte("Error:" + s.sign)); r.Kind != Fatal {
			t.Errorf("Error:%s reads as %v", s.sign, r.Kind)
		}
	}
}

// TestWhatAPrinterSaysAsItStopsIsShown: a person sees the printer's own words, however few.
func TestWhatAPrinterSaysAsItStopsIsShown(t *testing.T) {
	for line, want := range map[string]string{"!!": "!!", "!! heater 0": "heater 0", "Error:Printer halted. kill() called!": "Printer halted. kill() called!"} {
		if r := ParseReply([]byte(line)); r.Kind != Fatal || string(r.Text) != want {
			t.Errorf("%q: %v %q", line, r.Kind, r.Text)
		}
	}
}

// TestADamagedFaultIsStillAFault: whatever one byte of a heater fault is turned into, or lost, the line stops.
func TestADamagedFaultIsStillAFault(t *testing.T) {
	for _, line := range []string{
		"Error:Heating failed, system stopped! Heater_ID: 0", "Error:Thermal Runaway, system stopped! Heater_ID: bed",
		"Error:MINTEMP triggered, system stopped! Heater_ID: 0", "Error:MAXTEMP triggered, system stopped! Heater_ID: 0",
		"Error:Printer halted. kill() called!",
	} {
		eachDamage([]byte(line), func(damaged []byte) {
			if r := ParseReply(damaged); r.Kind != Fatal {
				t.Errorf("%q reads as %v", damaged, r.Kind)
			}
		})
	}
}
