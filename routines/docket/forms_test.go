package docket_test

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/serialio/gcode"
)

var update = flag.Bool("update", false, "write the golden files anew")

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil || string(want) != got {
		t.Errorf("%s (%v): got\n%s", name, err, got)
	}
}

// worn is a docket with something of everything: measured, held, typed, reverted, assumed and stale.
func worn(t *testing.T) docket.Docket {
	b := tuned()
	b.found(docket.RetractionLength, 0.6, 0.05, "mm", "r8")
	b.reverted(t, 11)
	b.handedTo(docket.Firmware, routines.Verified, b.plum.ID)
	b.changed("fan", "")
	b.entries[7].Who = "=HYPERLINK(1)"
	return b.docket()
}

func TestADocketAsCSV(t *testing.T) {
	table, err := worn(t).CSV()
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "docket.csv", string(table))
}

func TestADocketAsATable(t *testing.T) { golden(t, "docket.txt", worn(t).Table()) }

func TestADocketAsLinesForTheStartOfAPrint(t *testing.T) {
	golden(t, "firmware.gcode", worn(t).Snippet())
	b := tuned()
	b.setup.Retracts = docket.SlicingProgram
	golden(t, "slicing.gcode", b.docket().Snippet())
	golden(t, "unknown.gcode", newBook().docket().Snippet())
}

// What is handed to a person or a printer says who has the values only as far as it is so.
func TestTheFormsSayWhetherTheValuesAreStillHad(t *testing.T) {
	const has = "The firmware retracts and has these values."
	for _, c := range []struct {
		want  string
		after func(b *book)
	}{
		{"Not handed over yet.", func(*book) {}},
		{has, func(b *book) { b.handedTo(docket.Firmware, routines.Verified, b.plum.ID) }},
		{has + " They are in use, but not stored: a restart of the printer takes them away.", func(b *book) { b.handedTo(docket.Firmware, routines.NotStored, b.plum.ID) }},
		{has + " They were written, but never read back.", func(b *book) { b.handedTo(docket.Firmware, routines.WrittenNotVerified, b.plum.ID) }},
		{"The firmware retracts, but was given other values than these: retraction length, lift at a retraction.", func(b *book) {
			b.handedTo(docket.Firmware, routines.Verified, b.plum.ID)
			b.typed(docket.RetractionLength, 0.9)
			b.typed(docket.Lift, 0.2)
			b.typed(docket.BedC, 65) // no firmware has it
		}},
		{"The firmware retracts, but was given the values of grey-petg since: not these.", func(b *book) {
			b.handedTo(docket.Firmware, routines.NotStored, b.plum.ID)
			b.handedTo(docket.Firmware, routines.Verified, "grey-petg")
			b.typed(docket.RetractionLength, 0.9)
		}},
		{"The slicing program retracts and has these values.", func(b *book) {
			b.handedTo(docket.SlicingProgram, "", b.plum.ID)
			b.handedTo(docket.Firmware, routines.Verified, "grey-petg")
		}},
		{"The slicing program retracts, but was given other values than these: bed temperature.", func(b *book) {
			b.handedTo(docket.SlicingProgram, "", b.plum.ID)
			b.typed(docket.BedC, 65)
		}},
	} {
		b := tuned()
		c.after(b)
		d := b.docket()
		if second := strings.Split(d.Table(), "\n")[1]; second != c.want {
			t.Errorf("the table says %q, want %q", second, c.want)
		}
		if second := strings.Split(d.Snippet(), "\n")[1]; second != "; "+c.want {
			t.Errorf("the lines say %q, want %q", second, c.want)
		}
	}
}

// Whatever somebody calls a material, no word of it reaches a printer: each line is a comment, or M207 or M208 alone.
func TestNoNameBecomesAWord(t *testing.T) {
	b := tuned()
	b.setup.Retracts = docket.Firmware
	b.plum.ID, b.plum.Name = "x\nM104 S300", "y\r\nM104 S300"
	for i := range b.entries {
		b.entries[i].Material, b.entries[i].Who, b.entries[i].Run = b.plum.ID, "z\nM500", "r\nG28"
	}
	b.handedTo(docket.Firmware, routines.Verified, b.plum.ID)
	b.handedTo(docket.Firmware, routines.Verified, "w\nM500\r\nG28")
	d := docket.Of("p\nM112", b.entries, b.setup, b.plum)
	for line := range strings.Lines(d.Snippet()) {
		line = strings.TrimSuffix(line, "\n")
		if block, err := gcode.Parse(line); !strings.HasPrefix(line, "; ") && (err != nil || !block.Is("M207") && !block.Is("M208")) || strings.ContainsAny(line, "\r\n") {
			t.Errorf("%q", line)
		}
	}
	if n := strings.Count(d.Table(), "\n"); n != len(d.Rows)+3 {
		t.Errorf("%d lines in the table", n)
	}
}
