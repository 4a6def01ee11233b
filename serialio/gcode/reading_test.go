package gcode

import (
	"reflect"
	"testing"
)

func TestTemperatures(t *testing.T) {
	both := Temperatures{NozzleC: 201.3, NozzleTargetC: 205, BedC: 59.9, BedTargetC: 60, HasNozzle: true, HasTarget: true, HasBed: true}
	for line, want := range map[string]Temperatures{
		"T:201.3 /205.0 B:59.9 /60.0 @:64 B@:0":                                both,
		"ok T:201.3 /205.0 B:59.9 /60.0 @:64 B@:0":                             both,
		" T:201.3 /205.0 B:59.9 /60.0 T0:201.3 /205.0 T1:25.0 /0.0 @:64 @0:64": both,
		"T0:201.3 /205.0 T1:20.0 /0.0 B:59.9 /60.0":                            both,
		"T:201.3/205.0B:59.9/60.0@:64B@:0":                                     both,
		"T:201.3 /205.0 (312.5) B:59.9 /60.0 (88.1)":                           both,
		"T:201.3":                   {NozzleC: 201.3, HasNozzle: true},
		"T:201.3 E:0 B:59.9":        {NozzleC: 201.3, BedC: 59.9, HasNozzle: true, HasBed: true},
		"T:201.3 E:0 W:?":           {NozzleC: 201.3, HasNozzle: true},
		"T:-14.2 /0.0":              {NozzleC: -14.2, HasNozzle: true, HasTarget: true},
		"T:nan /205.0 B:59.9 /60.0": {BedC: 59.9, BedTargetC: 60, HasBed: true, HasTarget: true, NoNumber: true},
		"T:nan /205.0 T0:20.0 /0.0": {NozzleC: 20, HasNozzle: true, HasTarget: true},
		"B:59.9 /60.0":              {BedC: 59.9, BedTargetC: 60, HasBed: true, HasTarget: true},
	} {
		if got, ok := ParseTemperatures([]byte(line)); !ok || got != want {
			t.Errorf("%q: %+v, %t; want %+v", line, got, ok, want)
		}
	}
	for _, line := range []string{"", "ok", "T:", "T:nan", "T:2o1.3 /205.0", "T:201.3 /", "T:201.3 /205.0 B", "X:0.00 Y:0.00 Z:0.00", "T:1e9"} {
		if got, ok := ParseTemperatures([]byte(line)); ok {
			t.Errorf("%q was taken for %+v", line, got)
		}
	}
}

func TestPosition(t *testing.T) {
	want := Position{X: 10.5, Y: -2, Z: 0.25, E: 100}
	for _, line := range []string{"X:10.50 Y:-2.00 Z:0.25 E:100.00 Count X:840 Y:-160 Z:100", "X:10.50 Y:-2.00 Z:0.25 E:100.00", "ok X:10.50 Y:-2.00 Z:0.25 E:100.00"} {
		if got, ok := ParsePosition([]byte(line)); !ok || got != want {
			t.Errorf("%q: %+v, %t", line, got, ok)
		}
	}
	for _, line := range []string{"", "X:1 Y:2", "X:nan Y:0 Z:0 E:0", "T:20 /0", "X:1.0 Y:2.0 Z:3.0 E"} {
		if got, ok := ParsePosition([]byte(line)); ok {
			t.Errorf("%q was taken for %+v", line, got)
		}
	}
}

func TestIdentity(t *testing.T) {
	line := "FIRMWARE_NAME:Invented 2.1 (Jan 1 2020) SOURCE_CODE_URL:none PROTOCOL_VERSION:1.0 MACHINE_TYPE:Small Bench EXTRUDER_COUNT:1 UUID:ab-cd"
	got := ParseIdentity([]string{line, "Cap:AUTOREPORT_TEMP:1", "Cap:EEPROM:0", "Cap:BROKEN"})
	want := Identity{Firmware: "Invented 2.1 (Jan 1 2020)", Machine: "Small Bench", UUID: "ab-cd", Raw: line,
		Caps: map[string]bool{"AUTOREPORT_TEMP": true, "EEPROM": false}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v", got)
	}
	if got := ParseIdentity([]string{"ok"}); got.Raw != "" || got.Caps != nil {
		t.Errorf("nothing reads as %+v", got)
	}
}

func FuzzParseTemperatures(f *testing.F) {
	for _, seed := range []string{"T:201.3 /205.0 B:59.9 /60.0 @:64 B@:0", "ok T:201.3/205.0B:59.9", "T0:20 /0 T1:20 /0", "X:1 Y:2 Z:3 E:4 Count X:1", "T:nan"} {
		f.Add([]byte(seed))
	}
	for _, line := range saidInTranscripts(f) {
		f.Add([]byte(line))
	}
	f.Fuzz(func(t *testing.T, line []byte) {
		if v, ok := ParseTemperatures(line); ok && (v.NozzleC != v.NozzleC || v.BedC != v.BedC || !(v.HasNozzle || v.HasBed)) {
			t.Fatalf("%q: %+v", line, v)
		}
		if p, ok := ParsePosition(line); ok && p != p {
			t.Fatalf("%q: %+v", line, p)
		}
	})
}
