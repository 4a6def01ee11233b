package feed

import (
	"fmt"
	"strings"

	"fettle/routines"
	"fettle/routines/gauge"
)

// leastBlockMM is a block so short that the play of the gear would show in it. Common practice, no source.
const leastBlockMM = 10

// checkMethod holds the method to the setup it is for and the gauge it takes.
func checkMethod(in inputs, s routines.Setup) error {
	m, known := methodOf(in.Method)
	if !known {
		return &routines.FieldError{Field: "method", Detail: fmt.Sprintf("is %q", in.Method), Accept: atInlet}
	}
	if why := m.fits(s); why != "" {
		return &routines.FieldError{Field: "method", Detail: fmt.Sprintf("is %s, which %s", in.Method, why), Accept: methodsFor(s)}
	}
	g, named := in.instrument()
	switch {
	case m.name == tubeEnd && named && g.DivisionMM > coarsestForPieceMM:
		return &routines.FieldError{Field: "gauge", Detail: "is a " + g.Label + ": a cut piece is measured with a caliper",
			Accept: fmt.Sprintf("a caliper, or a gauge of divisions up to %s", unit(coarsestForPieceMM, "mm"))}
	case m.name == severalLengths && in.CommandedMM < leastBlockMM*in.Lengths:
		return &routines.FieldError{Field: "commanded_mm", Detail: fmt.Sprintf("is %s: blocks of under %d mm", number(in.CommandedMM), leastBlockMM),
			Accept: fmt.Sprintf("at least %s for %s lengths", unit(leastBlockMM*in.Lengths, "mm"), number(in.Lengths))}
	}
	return nil
}

// coarsestForPieceMM is the coarsest division with which a cut piece is worth its cuts. Common practice, no source.
const coarsestForPieceMM = 0.1

// methodsFor lists the methods that fit a setup.
func methodsFor(s routines.Setup) string {
	var out []string
	for _, m := range methods() {
		if m.fits(s) == "" {
			out = append(out, m.name)
		}
	}
	return strings.Join(out, ", ")
}

// checkOwn wants a gauge of one's own described, and nothing described that is not used.
func checkOwn(in inputs) error {
	for _, f := range []struct {
		name string
		of   *float64
	}{{"own_division_mm", in.OwnDivisionMM}, {"own_limit_mm", in.OwnLimitMM}} {
		switch {
		case in.Gauge == gauge.OwnName && f.of == nil:
			return &routines.FieldError{Field: f.name, Detail: "is missing: a gauge of your own has one", Accept: "a number of mm"}
		case in.Gauge != gauge.OwnName && f.of != nil:
			return &routines.FieldError{Field: f.name, Detail: "is given for another gauge", Accept: "gauge \"own\" with it, or neither"}
		}
	}
	return nil
}
