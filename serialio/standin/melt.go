package standin

import "math"

// The melt between gear and nozzle: the filament stands squeezed together against the nozzle while it prints, and what is
// squeezed goes on coming out when the gear stands still. Of first order in what is squeezed, with an outflow that grows with
// its square, as it does for a melt that thins under shear (power law with n = 1/2). The law is simplified and all its
// constants are invented; no controlled published study of string length against retraction was found to hold them to.

// nature is what a machine and its material do not change while they print.
type nature struct {
	slackMM  float64 // of the drive
	springMM float64 // squeezed together while refMM3PerS flows
	emptiesS float64 // the pressure of that flow halves in so long where the nozzle hangs free
	share    float64 // of what oozes over open air that ends in the thread; the rest is wiped off where the nozzle lands
	areaMM2  float64 // of the filament
	drool    float64 // mm3/s into threads whatever the pressure
	lackMM3  float64 // missing at every restart
	nozzleC  float64 // the other numbers hold at
	refMMPS  float64 // filament, mm/s, of refMM3PerS
}

const (
	refMM3PerS = 4.0
	meltsC     = 150.0 // below it nothing comes out
	airShare   = 0.041 // of melt that is drawn back and replaced by air: 0.1 mm3 per mm of 1.75 mm filament
	perC       = 0.012 // the spring of the melt grows with the heat
)

func natureOf(p *Profile) nature {
	m := p.Material
	n := nature{slackMM: p.SlackMM, springMM: p.SpringMM * m.Springs, emptiesS: p.EmptiesS * m.Empties,
		share: p.OozeShare * m.Oozes, areaMM2: math.Pi * p.FilamentMM * p.FilamentMM / 4, drool: m.DroolMM3PerS,
		lackMM3: p.RestartLackMM3, nozzleC: m.NozzleC}
	n.refMMPS = refMM3PerS / n.areaMM2
	if p.Damp {
		n.drool += dampDroolMM3PerS
	}
	return n
}

// at is the spring at a temperature.
func (n *nature) at(nozzleC float64) float64 {
	return n.springMM * min(max(1+perC*(nozzleC-n.nozzleC), 0.5), 2)
}

// melt is what stands there now. Flows are mm of filament.
type melt struct {
	springMM   float64 // now
	squeezedMM float64 // below 0: drawn back from the nozzle
	looseMM    float64 // of the slack that the gear has crossed on its way back
	airMM      float64 // drawn in, and missing at the restart
	deepMM     float64 // how far it was drawn back since
}

// standing is the melt after it has printed at a flow for long.
func (n *nature) standing(flowMM3PerS, nozzleC float64) melt {
	spring := n.at(nozzleC)
	return melt{springMM: spring, squeezedMM: spring * math.Sqrt(flowMM3PerS/refMM3PerS)}
}

// keeping is the flow, mm3/s, that keeps so much squeezed together.
func (n *nature) keeping(squeezedMM, springMM float64) float64 {
	part := max(0, squeezedMM) / springMM
	return refMM3PerS * part * part
}

// hang lets the nozzle hang free for a time: dc/dt = -k c², so c/(1 + k c t). It returns what came out.
func (m *melt) hang(n *nature, s float64) float64 {
	if m.squeezedMM <= 0 {
		return 0
	}
	before := m.squeezedMM
	m.squeezedMM = before / (1 + before*s/(m.springMM*n.emptiesS))
	return before - m.squeezedMM
}

// lay feeds forward along a bead: dc/dt = v - k c², so a tanh towards the pressure of that flow.
func (m *melt) lay(n *nature, mm, s float64) {
	mm, s, _ = m.takeUp(n, mm, s)
	if mm <= 0 || s <= 0 {
		return
	}
	k := n.refMMPS / (m.springMM * m.springMM)
	end := math.Sqrt(mm / s / k)
	t := math.Tanh(end * k * s)
	m.squeezedMM = end * (m.squeezedMM + end*t) / (end + m.squeezedMM*t)
}

// restore feeds forward where the nozzle stands, and returns what came out.
func (m *melt) restore(n *nature, mm, s float64) float64 {
	mm, s, out := m.takeUp(n, mm, s)
	m.squeezedMM += mm
	return out + m.hang(n, s/2) // at half of the time all of it has come
}

// takeUp is the part of a way forward that meets no melt: slack, and what was drawn back. It returns what is left of way
// and time, and what came out meanwhile.
func (m *melt) takeUp(n *nature, mm, s float64) (leftMM, leftS, out float64) {
	if m.looseMM > 0 {
		x := min(mm, m.looseMM)
		t := s * x / mm
		out = m.hang(n, t)
		m.looseMM, mm, s = m.looseMM-x, mm-x, s-t
	}
	if mm > 0 && m.squeezedMM < 0 {
		m.squeezedMM -= m.airMM
		m.airMM, m.deepMM = 0, 0
		x := min(mm, -m.squeezedMM)
		s -= s * x / mm
		mm, m.squeezedMM = mm-x, m.squeezedMM+x
		if mm > 0 {
			m.squeezedMM = 0
		}
	}
	return mm, s, out
}

// draw pulls back: the slack first, then dc/dt = -v - k c² down to nothing, then air. It returns what came out.
func (m *melt) draw(n *nature, mm, s float64) float64 {
	x := min(mm, n.slackMM-m.looseMM)
	t := s * x / mm
	out := m.hang(n, t)
	m.looseMM, mm, s = m.looseMM+x, mm-x, s-t
	if mm <= 0 || s <= 0 {
		return out
	}
	v := mm / s
	if c := m.squeezedMM; c > 0 {
		k := 1 / (m.springMM * n.emptiesS)
		end := math.Sqrt(v / k)
		angle, turn := math.Atan(c/end), end*k*s
		if angle >= turn {
			m.squeezedMM = end * math.Tan(angle-turn)
			return out + max(0, c-mm-m.squeezedMM)
		}
		gone := s * angle / turn // when nothing is squeezed any more
		out += max(0, c-v*gone)
		m.squeezedMM, mm = 0, mm-v*gone
	}
	m.squeezedMM -= mm
	if deeper := -m.squeezedMM - m.deepMM; deeper > 0 {
		m.deepMM += deeper
		m.airMM += airShare * deeper
	}
	return out
}
