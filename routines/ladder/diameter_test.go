package ladder_test

import (
	"encoding/json"
	"math"
	"testing"

	"fettle/routines"
	"fettle/routines/ladder"
)

// The plastic of a piece is that of the filament which is on the spool: as much longer as its section is smaller (area of a
// circle), by what was measured with this material, while it holds.
func TestPiecesAreOfTheFilamentThatWasMeasured(t *testing.T) {
	thin, thick := 1.70, 1.80
	measured := func(b *bench, material string, mm *float64) {
		b.record("r0", material, routines.Entry{Kind: "filament_diameter_mm", Value: mm, Unit: "mm"})
	}
	spool := func(b *bench, material string) {
		b.record("", material, routines.Entry{Kind: "change", Body: json.RawMessage(`{"what":"new_spool"}`)})
	}
	var usualMM float64
	for _, c := range []struct {
		name   string
		alter  func(*bench)
		wantMM float64
	}{
		{"never measured", func(*bench) {}, 1.75},
		{"measured", func(b *bench) { measured(b, b.material.ID, &thin) }, 1.70},
		{"measured twice", func(b *bench) { measured(b, b.material.ID, &thin); measured(b, b.material.ID, &thick) }, 1.80},
		{"another material's", func(b *bench) { measured(b, "grey", &thin); spool(b, b.material.ID) }, 1.75},
		{"of a spool that is used up", func(b *bench) { measured(b, b.material.ID, &thin); spool(b, b.material.ID) }, 1.75},
		{"of another size", func(b *bench) { other := 2.85; measured(b, b.material.ID, &other) }, 1.75},
	} {
		b := newBench(t, 0.8).proven()
		c.alter(b)
		if _, f, err := b.run(ladder.Length(), `{}`); err != nil || f.Kind != ladder.Found {
			t.Fatalf("%s: %+v, %v", c.name, f, err)
		}
		if usualMM == 0 {
			usualMM = b.filament
		}
		if want := usualMM * math.Pow(1.75/c.wantMM, 2); math.Abs(b.filament-want) > 0.001*want {
			t.Errorf("%s: %.1f mm of filament, want %.1f", c.name, b.filament, want)
		}
	}
}
