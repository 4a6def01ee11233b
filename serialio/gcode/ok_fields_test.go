package gcode

import "testing"

// An ok may carry its own fields, and readings behind those: both forms of serial talk are from the community dialect.
func TestReadingsBehindTheFieldsOfAnOK(t *testing.T) {
	for line, want := range map[string]float64{
		"ok N3 P15 B3 T:201.3 /205.0 B:59.9 /60.0 @:64": 201.3,
		"N3 P15 B3 T:55.7 /0.0 B:20.5 /0.0":             55.7, // as a reply's fields are handed on
		"ok P15 B3 T:20.0 /0.0":                         20,
		"ok T:20.5 /0.0 B:19.8 /0.0 @:0 B@:0":           20.5,
		"ok B:19.8 /0.0 T:21.0 /0.0":                    21,
	} {
		got, ok := ParseTemperatures([]byte(line))
		if !ok || got.NozzleC != want {
			t.Errorf("%q: %+v, %t; want %g", line, got, ok, want)
		}
	}
	if r := ParseReply([]byte("ok N3 P15 B3 T:20.0 /0.0")); r.Kind != OK || r.Doubtful || r.Line != 3 || !r.HasLine {
		t.Errorf("%+v", r)
	}
	if _, ok := ParseTemperatures([]byte("ok N3 P15 B3")); ok {
		t.Error("fields of an ok are taken for a reading")
	}
}
