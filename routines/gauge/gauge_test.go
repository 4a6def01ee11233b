package gauge_test

import (
	"math"
	"testing"

	"fettle/routines/gauge"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.Abs(got-want) > tolerance || math.IsNaN(got) {
		t.Errorf("%s = %.6g, want %.6g ± %.2g", what, got, want, tolerance)
	}
}

// JCGM 100:2008, 4.3.7: u = a/√3. Its examples (from memory, recomputed): the expansion of copper known to within
// 0.40e-6 per °C has u = 0.23e-6; a voltmeter known to within 15 µV has u = 8.7 µV.
func TestRectangularIsTheGuidesOwn(t *testing.T) {
	near(t, "unit half width", gauge.Rectangular(1), 0.57735, 5e-6)
	near(t, "copper, 1e-6/°C", gauge.Rectangular(0.40), 0.23, 0.005)
	near(t, "voltmeter, µV", gauge.Rectangular(15), 8.7, 0.05)
}

// JCGM 100:2008, 4.3.8 (from memory, recomputed): copper 16.52e-6 per °C, never below 16.40e-6 or above 16.92e-6, has
// u = 0.15e-6.
func TestUnevenBoundsAreTheGuidesOwn(t *testing.T) {
	near(t, "copper, 1e-6/°C", gauge.Between(16.52-16.40, 16.92-16.52), 0.15, 0.005)
	near(t, "even bounds", gauge.Between(0.4, 0.4), gauge.Rectangular(0.4), 1e-12)
}

// JCGM 100:2008, H.1, the end gauge of 50 mm, in nm: u(d) = 9.7 from its three parts, u_c = 32 with 31.66 to 31.71
// where nothing is rounded. The parts are from memory; both results as quoted by independent secondary sources.
func TestCombineIsTheEndGaugeExample(t *testing.T) {
	const lengthNM = 50e6
	d := gauge.Combine(5.8, 3.9, 6.7)
	near(t, "u(d)", d, 9.7, 0.05)
	expansion := lengthNM * 0.1 * gauge.Rectangular(1e-6)       // 0.1 °C off 20 °C, ±1e-6 per °C between the two gauges
	temperature := lengthNM * 11.5e-6 * gauge.Rectangular(0.05) // ±0.05 °C between the two gauges
	near(t, "u_c(l)", gauge.Combine(25, d, expansion, temperature), 32, 0.5)
	near(t, "u_c(l), unrounded", gauge.Combine(25, d, expansion, temperature), 31.685, 0.03)
}

// JCGM 100:2008, 4.4.3, Table 1: twenty temperatures, mean 100.145, s = 1.489, s of the mean 0.333 °C.
func TestMeanAndScatterAreTheGuidesOwn(t *testing.T) {
	readings := []float64{96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68,
		100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72}
	w, mean := gauge.Measured(gauge.Instrument{}, 120, readings)
	near(t, "mean", mean, 100.145, 0.0005)
	near(t, "s", w.ScatterMM, 1.489, 0.0005)
	near(t, "s of the mean", w.ScatterMM/math.Sqrt(float64(w.Passes)), 0.333, 0.0005)
}

// Directive 2014/32/EU Annex X MI-008, Table 1, class II: 0.3 mm + 0.2 mm per started metre. DIN 862: 0.03 mm at 300.
func TestLimitsOfTheInstruments(t *testing.T) {
	rule, _ := gauge.Named("half_mm_rule")
	near(t, "300 mm rule", rule.LimitMM(300), 0.5, 1e-12)
	near(t, "1 m rule", rule.LimitMM(1000), 0.5, 1e-12)
	near(t, "just over 1 m", rule.LimitMM(1001), 0.7, 1e-12)
	caliper, _ := gauge.Named("caliper")
	near(t, "caliper", caliper.LimitMM(120), 0.03, 1e-12)
	if _, ok := gauge.Named("yardstick"); ok {
		t.Error("an unknown instrument was found")
	}
	if finer := rule.Finer(); len(finer) != 3 || finer[0].Name != "vernier_caliper" || finer[1].Name != "caliper" {
		t.Errorf("finer than the half-millimetre rule: %v", finer)
	}
}

// An arc of radius R over the angle θ: arc - chord = Rθ - 2R sin(θ/2), with the sagitta R(1 - cos(θ/2)). Plain geometry.
func TestCurlIsArcLessChord(t *testing.T) {
	const lengthMM = 120.0
	radius := lengthMM * lengthMM / 8 / 3 // sagitta 3 mm, small angle
	half := math.Asin(lengthMM / 2 / radius)
	near(t, "sagitta", radius*(1-math.Cos(half)), 3, 0.01)
	near(t, "curl", gauge.CurlMM(lengthMM), 2*radius*half-lengthMM, 0.002)
}
