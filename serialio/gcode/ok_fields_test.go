package gcode

import "testing"

// An ok may carry its own fields, and readings behind those: both forms of serial talk are from the community dialect.
func TestReadingsBehindTheFieldsOfAnOK(t *testing.T) {
	for line, want := range map[string]float64{
		"ok N3 P15 B3 T:201.3 /205.0 B:59.9 /60.0 @:64": 201.3,
		"ok P15 B3 T:20.0 /0.0":                         20,
		"ok T:20.5 /0.0 B:19.8 /0.0 @:0 B@:0":           20.5,
		"ok B:19.8 /0.0 T:21.0 /0.0":                    21,
	} {
		got, ok := ParseTemperatures([]byte(line))
		if !ok || got.NozzleC != want {
			t.Errorf("%q: %+v, %t; want %g", line, got, ok, want)
		}
	}
	if _, ok := ParseTemperatures([]byte("ok N3 P15 B3")); ok {
		t.Error("fields of an ok are taken for a reading")
	}
}
