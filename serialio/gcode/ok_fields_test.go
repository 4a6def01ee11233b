package gcode

import "testing"

// An ok may carry its own fields, and readings behind those: both forms of serial talk are from the community dialect.
func TestReadingsBehindTheFieldsOfAnOK(t *testing.T) {
	for line, want := range map[string]float64{
		"ok N3 P15 B3 T:201.3 /205.0 B:59.9 /60.0 @:64": 201.3,
		"N3 P15 B3 T:55.7 /0.0 B:20.5 /0.0":             55.7,
		"okT:20.5/0.0":                                  20.5,
		"okB:19.8 /0.0 T:21.0 /0.0":                     21,
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
	if r := ParseReply([]byte("ok N3 P15 B3 T:20.0 /0.0")); string(r.Text) != "T:20.0 /0.0" {
		t.Errorf("handed on %q", r.Text)
	}
	if _, ok := ParseTemperatures([]byte("ok N3 P15 B3")); ok {
		t.Error("fields of an ok are taken for a reading")
	}
}

// Some firmware sets no blank between its ok and the readings. What else follows the two letters is no ok.
func TestReadingsGluedToAnOK(t *testing.T) {
	for line, want := range map[string]ReplyKind{
		"okT:20.5 /0.0 B:19.8 /0.0 @:0": OK,
		"okT0:20.5/0.0 T1:21.0/0.0":     OK,
		"okB:19.8":                      OK,
		"okay":                          Unknown,
		"okN3":                          Unknown,
		"okT:":                          Unknown,
		"okT:20.5 /0.0 and so on":       Unknown,
		"okok":                          Unknown,
	} {
		r := ParseReply([]byte(line))
		if r.Kind != want || r.Doubtful != (want == Unknown) {
			t.Errorf("%q: %+v, want %v", line, r, want)
		}
		if want == OK && string(r.Text) != line[2:] {
			t.Errorf("%q: handed on %q", line, r.Text)
		}
	}
}

// A multiplier is an answer of a known form, and no temperature.
func TestMultipliersAreReports(t *testing.T) {
	for line, want := range map[string]ReplyKind{
		"FR:100%": Report, "FR:99.5%": Report, "FR: 100%": Report,
		"FR:%": Unknown, "FR:100%%": Unknown, "FR:100": Report, "FR:100 /2%": Unknown, "FR:nan%": Unknown, "fr100%": Unknown,
	} {
		if r := ParseReply([]byte(line)); r.Kind != want || r.Doubtful != (want == Unknown) {
			t.Errorf("%q: %+v, want %v", line, r, want)
		}
	}
	if got, ok := ParseTemperatures([]byte("T:100%")); ok {
		t.Errorf("a multiplier is taken for %+v", got)
	}
}
