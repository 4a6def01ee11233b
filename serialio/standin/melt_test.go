package standin

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// small integrates dc/dt = v - k c² in small steps, without any closed form; below 0 nothing flows.
func small(c, v, k, seconds float64) float64 {
	const steps = 4000
	dt := seconds / steps
	rate := func(c float64) float64 { return v - k*math.Max(0, c)*math.Max(0, c) }
	for range steps {
		c += rate(c+rate(c)*dt/2) * dt
	}
	return c
}

// The closed forms solve the equation they stand for: each is held to a plain integration of it.
func TestTheMeltFollowsItsEquation(t *testing.T) {
	p := InventedDirect()
	n := natureOf(&p)
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.Float64Range(0.01, 2).Draw(t, "squeezed")
		mm := rapid.Float64Range(0.001, 4).Draw(t, "mm")
		s := rapid.Float64Range(0.005, 1).Draw(t, "s")
		hangs, lays := 1/(n.springMM*n.emptiesS), n.refMMPS/(n.springMM*n.springMM)
		at := func(do func(*melt)) float64 {
			m := melt{springMM: n.springMM, squeezedMM: c}
			do(&m)
			return m.squeezedMM
		}
		for name, is := range map[string][2]float64{
			"hung":  {at(func(m *melt) { m.hang(&n, s) }), small(c, 0, hangs, s)},
			"laid":  {at(func(m *melt) { m.lay(&n, mm, s) }), small(c, mm/s, lays, s)},
			"drawn": {at(func(m *melt) { m.draw(&n, mm, s) }), small(c, -mm/s, hangs, s)},
		} {
			if math.Abs(is[0]-is[1]) > 2e-3 {
				t.Errorf("%s: squeezed %v, integrated %v", name, is[0], is[1])
			}
		}
	})
}

// What is fed either stays squeezed together or comes out; nothing is lost, whatever the way to and fro.
func TestFilamentIsNeitherLostNorMade(t *testing.T) {
	p := InventedTube()
	n := natureOf(&p)
	rapid.Check(t, func(t *rapid.T) {
		m := n.standing(rapid.Float64Range(0.5, 12).Draw(t, "flow"), p.Material.NozzleC)
		had := m.squeezedMM - m.looseMM
		for range rapid.IntRange(1, 12).Draw(t, "strokes") {
			mm := rapid.Float64Range(-6, 6).Draw(t, "mm")
			out, air := 0.0, m.airMM
			switch {
			case mm < 0:
				out = m.draw(&n, -mm, -mm/30)
				air = m.airMM
			case mm > 0:
				out = m.restore(&n, mm, mm/30)
			}
			had += mm - out - (air - m.airMM)
			if out < 0 || math.Abs(m.squeezedMM-m.looseMM-had) > 1e-9 {
				t.Fatalf("after %v mm %v came out; %+v, and %v is there by the account", mm, out, m, had)
			}
			if m.looseMM < 0 || m.looseMM > n.slackMM+1e-12 {
				t.Fatalf("%v of %v mm slack are loose", m.looseMM, n.slackMM)
			}
		}
	})
}

func TestPrintingAtAFlowComesToStandAtItsPressure(t *testing.T) {
	p := InventedTube()
	n := natureOf(&p)
	for _, flow := range []float64{1, 4, 9} {
		m := melt{springMM: n.springMM}
		for range 200 {
			m.lay(&n, flow/n.areaMM2*0.1, 0.1)
		}
		mustBe(t, "squeezed", m.squeezedMM, n.springMM*math.Sqrt(flow/refMM3PerS), 1e-6)
		mustBe(t, "flow that keeps it", n.keeping(m.squeezedMM, m.springMM), flow, 1e-4)
	}
	hot := n.standing(4, n.nozzleC+15)
	mustBe(t, "15 C more", hot.squeezedMM/n.springMM, 1.18, 1e-9)
}

// A thread is a cylinder: V = pi/4 d² g, textbook.
func TestAThreadIsACylinder(t *testing.T) {
	mustBe(t, "um", threadUM(math.Pi/4*0.05*0.05*14, 14), 50, 1e-9)
	mustBe(t, "um of nothing", threadUM(0, 14), 0, 0)
}
