package standin

import (
	"math"
	"strings"
	"testing"
	"time"
)

// The step response of a first-order plant with a dead time, as every text on process control has it:
// T(t) = ambient + rise (1 - exp(-(t - dead)/tau)).
func TestAPlantFollowsItsClosedForm(t *testing.T) {
	p := newPlant(20, 380, 127*time.Second, 2500*time.Millisecond)
	for i := 1; i <= 6000; i++ {
		p.pass(0.5)
		s := max(0, float64(i)*tick.Seconds()-2.5)
		want := 20 + 0.5*380*(1-math.Exp(-s/127))
		if math.Abs(p.tempC-want) > 1e-6 {
			t.Fatalf("%v s after the step: %v C, want %v", float64(i)*tick.Seconds(), p.tempC, want)
		}
	}
}

func TestTheNozzleRisesAboutThreeDegreesASecondAtFirst(t *testing.T) {
	f := awake(t, nil)
	tell(f, "M104 S250")
	f.Advance(2500 * time.Millisecond)
	mustBe(t, "nozzle after its dead time", f.Snapshot().NozzleC, 20.5, 0.5)
	f.Advance(5 * time.Second)
	mustBe(t, "rise in the next 5 s", f.Snapshot().NozzleC-20.5, 15, 1)
}

func TestAHeaterArrivesAndStays(t *testing.T) {
	for _, target := range []float64{60, 180, 210, 250} {
		f := awake(t, nil)
		tell(f, "M104 S"+fixed(target, 0))
		f.Advance(3 * time.Minute)
		for range 600 {
			f.Advance(time.Second)
			mustBe(t, "nozzle", f.Snapshot().NozzleC, target, 4)
		}
		mustBe(t, "nozzle at last", f.Snapshot().NozzleC, target, 0.5)
		if f.Snapshot().Halted {
			t.Fatalf("halted at %v", target)
		}
	}
}

func TestTheBedArrivesWithoutAFaultToo(t *testing.T) {
	f := awake(t, nil)
	said := tell(f, "M190 S115")
	mustSay(t, said, "echo:busy: processing\n", "ok\n")
	mustBe(t, "bed", f.Snapshot().BedC, 115, 1)
}

func TestABrokenHeaterHaltsThePrinter(t *testing.T) {
	f := awake(t, func(p *Profile) { p.HeaterBroken = true })
	said := tell(f, "M104 S210")
	f.Advance(30 * time.Second)
	said += string(f.Say())
	mustSay(t, said, "Error:Heating failed, system stopped! Heater_ID: 0\n", "Error:Printer halted")
	if s := f.Snapshot(); !s.Halted || s.Hot {
		t.Errorf("halted %v, hot %v", s.Halted, s.Hot)
	}
}

func TestAHeaterThatDiesAtItsTemperatureIsARunaway(t *testing.T) {
	f := awake(t, nil)
	tell(f, "M109 S210")
	f.Bench().BreakHeater(true)
	f.Advance(2 * time.Minute)
	mustSay(t, string(f.Say()), "Error:Thermal Runaway, system stopped! Heater_ID: 0\n")
}

func TestAWaitForHeatIsBrokenByM108AndKeepsItsTarget(t *testing.T) {
	f := awake(t, nil)
	f.Hear([]byte("M109 S210\n"))
	f.Advance(5 * time.Second)
	if said := string(f.Say()); strings.Contains(said, "ok") {
		t.Fatalf("answered at once: %q", said)
	}
	f.Hear([]byte("M108\n"))
	if said := string(f.Say()); said != "ok\nok\n" {
		t.Errorf("after M108: %q", said)
	}
	mustBe(t, "target", f.Snapshot().NozzleTargetC, 210, 0)
}

func TestATargetAboveTheFirmwaresOwnLimitIsCut(t *testing.T) {
	f := awake(t, nil)
	tell(f, "M104 S900", "M140 S900")
	mustSay(t, tell(f, "M105"), "/290.0", "/120.0")
}

func TestReportsComeUnasked(t *testing.T) {
	f := awake(t, nil)
	tell(f, "M155 S3")
	f.Advance(10 * time.Second)
	if got := strings.Count(string(f.Say()), " T:20.5 /0.0 B:20.5 /0.0 @:0 B@:0\n"); got != 3 {
		t.Errorf("%d reports in 10 s, want 3", got)
	}
	tell(f, "M155 S0")
	f.Advance(10 * time.Second)
	if said := f.Say(); said != nil {
		t.Errorf("still says %q", said)
	}
}
