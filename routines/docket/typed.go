package docket

import (
	"fmt"
	"strings"

	"fettle/routines"
)

// CheckTyped holds a value that a person types to what its row takes. Errors: *routines.FieldError.
func (d Docket) CheckTyped(kind string, value float64) (unit string, err error) {
	r := d.Row(kind)
	if r == nil || r.Typed == nil {
		return "", &routines.FieldError{Field: "kind", Detail: fmt.Sprintf("is %q, which is not typed", kind), Accept: strings.Join(typable(), ", ")}
	}
	if l := r.Typed; !(value >= l.Min && value <= l.Max) {
		return "", &routines.FieldError{Field: "value", Detail: "is " + plain(value), Accept: fmt.Sprintf("%s to %s", plain(l.Min), quantity(l.Max, r.Unit))}
	}
	return r.Unit, nil
}

func typable() []string {
	var out []string
	for _, k := range kinds {
		if k.limits != nil {
			out = append(out, k.name)
		}
	}
	return out
}

// Reverting finds the row that had a value earlier, and that value. Errors: *routines.FieldError.
func (d Docket) Reverting(entry int64) (Row, Earlier, error) {
	var known []string
	for _, r := range d.Rows {
		for _, e := range r.Earlier {
			if e.Entry == entry {
				return r, e, nil
			}
			known = append(known, fmt.Sprint(e.Entry))
		}
	}
	accept := strings.Join(known, ", ")
	if accept == "" {
		accept = "none: no row had another value"
	}
	return Row{}, Earlier{}, &routines.FieldError{Field: "entry", Detail: fmt.Sprintf("is %d, which is no earlier value of this docket", entry), Accept: accept}
}
