package standin

import (
	"fmt"
	"math"
	"strconv"
	"time"
)

func fixed(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }

// reportTemperatures is M155: every S seconds, at most 60; 0 is off.
func reportTemperatures(f *Firmware, b block) {
	s, _ := b.value('S')
	f.reportEvery = time.Duration(min(max(s, 0), 60)) * time.Second
	f.reportAt = f.now + f.reportEvery
}

// askPosition is M114: where the queue will end, and where the motors are, in steps.
func askPosition(f *Firmware, _ block) {
	at := f.modes.at
	var steps [3]float64
	for i := range steps {
		steps[i] = math.Round((f.world.headMM[i]-f.origin[i])*f.tuning.stepsPerMM[i]) + 0 // no "-0"
	}
	f.say(fmt.Sprintf("X:%.2f Y:%.2f Z:%.2f E:%.2f Count X:%.0f Y:%.0f Z:%.0f",
		at[0], at[1], at[2], at[3], steps[0], steps[1], steps[2]))
}

func askIdentity(f *Firmware, _ block) {
	f.say("FIRMWARE_NAME:" + f.profile.Name + " PROTOCOL_VERSION:1.0 MACHINE_TYPE:Invented EXTRUDER_COUNT:" +
		strconv.Itoa(f.profile.Tools) + " UUID:00000000-0000-4000-8000-000000000000")
	f.say("Cap:EEPROM:" + bit(!f.profile.StoresNothing))
	f.say("Cap:AUTOREPORT_TEMP:1")
	f.say("Cap:EMERGENCY_PARSER:" + bit(!f.profile.NoEmergency))
}

func bit(yes bool) string {
	if yes {
		return "1"
	}
	return "0"
}
