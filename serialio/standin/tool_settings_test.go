package standin

import (
	"strings"
	"testing"
)

func TestEachToolHasStepsOfItsOwn(t *testing.T) {
	f := awake(t, func(p *Profile) { p.Tools, p.ToolSettings = 2, true })
	mustSay(t, tell(f, "M503"), "echo:  M92 X80.00 Y80.00 Z400.00\necho:  M92 T0 E93.00\n", "echo:  M92 T1 E93.00\n")
	tell(f, "M92 T1 E50")
	if v, _ := f.Snapshot().RAM.Value("M92", 'E'); v != 93 {
		t.Errorf("another tool's steps became the first one's: %v", v)
	}
	tell(f, "M92 T0 E94", "M92 X81")
	mustSay(t, tell(f, "M503"), "M92 X81.00 Y80.00 Z400.00\n", "M92 T0 E94.00\n", "M92 T1 E50.00\n")
	tell(f, "M92 E95", "M500")
	mustSay(t, tell(f, "M92"), "M92 X81.00 Y80.00 Z400.00\necho:  M92 T0 E95.00\n")
	mustSay(t, tell(f, "M92 T2 E1"), "echo:No such tool: M92 T2 E1\n")
	f.Reset()
	f.Advance(boot)
	mustSay(t, tell(f, "M503"), "M92 T0 E95.00\n", "M92 T1 E50.00\n")
	mustSay(t, tell(f, "M115"), " EXTRUDER_COUNT:2 ")
}

func TestOneToolNamesItselfOnlyIfAsked(t *testing.T) {
	mustSay(t, tell(awake(t, nil), "M92 T1 E1"), "echo:No such tool")
	f := awake(t, func(p *Profile) { p.ToolSettings, p.BareSettings = true, true })
	if said := tell(f, "M503"); !strings.Contains(said, "\nM92 T0 E93.00\n") || strings.Contains(said, "M92 T1") || strings.Contains(said, "echo") {
		t.Errorf("said %q", said)
	}
	f = awake(t, func(p *Profile) { p.Tools, p.ToolSettings, p.UnknownWords = 2, true, []string{"M92"} })
	if said := tell(f, "M503"); strings.Contains(said, "M92") {
		t.Errorf("listed an unknown word: %q", said)
	}
}
