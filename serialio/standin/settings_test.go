package standin

import (
	"strings"
	"testing"
	"time"
)

// reset presses the button and waits.
func reset(f *Firmware) {
	f.Reset()
	f.Advance(2 * time.Second)
	f.Say()
}

func TestSettingsLiveInMemoryUntilTheyAreStored(t *testing.T) {
	f := awake(t, nil)
	tell(f, "M92 E95.88")
	mustSay(t, tell(f, "M92"), "echo:  M92 X80.00 Y80.00 Z400.00 E95.88\nok\n")
	reset(f)
	mustSay(t, tell(f, "M92"), "E93.00\n")

	tell(f, "M92 E95.88", "M203 E40", "M500")
	tell(f, "M92 E12")
	reset(f)
	mustSay(t, tell(f, "M503"), "echo:  M92 X80.00 Y80.00 Z400.00 E95.88\n", "echo:  M203 X300.00 Y300.00 Z8.00 E40.00\n")

	tell(f, "M92 E12", "M501")
	mustSay(t, tell(f, "M92"), "E95.88\n")
	tell(f, "M502")
	mustSay(t, tell(f, "M92"), "E93.00\n")
	if v, _ := f.Snapshot().Stored.Value("M92", 'E'); v != 95.88 {
		t.Errorf("M502 changed what is stored: %v", v)
	}
}

func TestAPrinterThatStoresNothingForgets(t *testing.T) {
	f := awake(t, func(p *Profile) { p.StoresNothing = true })
	tell(f, "M92 E95.88", "M500")
	reset(f)
	mustSay(t, tell(f, "M92"), "E93.00\n")
}

func TestMultipliersAndModesAreGoneAfterAReset(t *testing.T) {
	f := awake(t, nil)
	tell(f, "M221 S50", "M220 S50", "M302 P1", "G91", "M104 S200", "M500")
	reset(f)
	s := f.Snapshot()
	if s.FlowPercent != 100 || s.FeedPercent != 100 || s.ColdLifted || s.Relative || s.NozzleTargetC != 0 || s.Hot {
		t.Errorf("after a reset: %+v", s)
	}
}

// What M503 prints is what sets it again.
func TestTheReportSetsWhatItReports(t *testing.T) {
	f := awake(t, func(p *Profile) { p.BareSettings = true })
	tell(f, "M92 E120.5", "M200 D2.85", "M203 X100", "M201 E900", "M204 P700 R800 T900", "M205 X7", "M207 S3 F2400 Z0.2",
		"M208 S0.1", "M301 P12", "M304 I0.5")
	report := tell(f, "M503")
	rows := strings.Split(strings.TrimSuffix(report, "\nok\n"), "\n")
	if len(rows) != 10 {
		t.Fatalf("%d rows: %q", len(rows), rows)
	}
	other := awake(t, func(p *Profile) { p.BareSettings = true })
	tell(other, rows...)
	if again := tell(other, "M503"); again != report {
		t.Errorf("set again:\n%swant\n%s", again, report)
	}
}

func TestUnknownWordsAreLeftOutOfTheReport(t *testing.T) {
	f := awake(t, func(p *Profile) { p.UnknownWords = []string{"M92", "M500"} })
	if report := tell(f, "M503"); strings.Contains(report, "M92") {
		t.Errorf("reported %q", report)
	}
	if v, _ := f.Snapshot().RAM.Value("M92", 'E'); v != 93 {
		t.Errorf("works with %v steps/mm", v)
	}
}

func TestAValueThatWouldStandStillIsNotTaken(t *testing.T) {
	f := awake(t, nil)
	mustSay(t, tell(f, "M92 E0", "M203 E-1"), "echo:Value out of range: M92 E0\nok\n", "echo:Value out of range: M203 E-1\nok\n")
	mustSay(t, tell(f, "M92"), "E93.00\n")
}
