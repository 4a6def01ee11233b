package routines

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
)

// A Question is what a run needs from the person, as data: page and curl draw it and answer it alike.
type Question struct {
	Name    string   `json:"name"`   // unique within the run: "leftover 2"
	Figure  string   `json:"figure"` // what the page draws: "leftover"; a plain pad where it knows no such figure
	Text    string   `json:"text"`   // up to two lines
	Reason  string   `json:"reason"` // one sentence
	Warning []string `json:"warning,omitempty"`
	Fields  []Field  `json:"fields"`
	OneOf   bool     `json:"one_of,omitempty"`  // exactly one of the fields is the answer
	Derived *Derived `json:"derived,omitempty"` // the sentence that follows the number as it is typed
	Shown   any      `json:"shown,omitempty"`   // numbers that the figure is drawn from, each with its unit in its name
}

// Derived is a number that follows from the first field x of a question: A + B·x, with its expanded uncertainty.
type Derived struct {
	Name     string     `json:"name"` // "went_in_mm"
	Unit     string     `json:"unit"`
	A        float64    `json:"a"`
	B        float64    `json:"b"`
	U95      float64    `json:"u95"`
	Unlikely [2]float64 `json:"unlikely"` // derived values outside are recorded only after a second look
}

// FieldKind is what a Field holds.
type FieldKind string

// The kinds of Field.
const (
	Number FieldKind = "number"
	Choice FieldKind = "choice"
	Yes    FieldKind = "yes" // true or false
	Text   FieldKind = "text"
)

// A Field is one named value with its limits. It validates itself and prints itself as JSON Schema.
type Field struct {
	Name     string    `json:"name"` // snake_case with the unit: "leftover_mm"
	Label    string    `json:"label"`
	Kind     FieldKind `json:"kind"`
	Unit     string    `json:"unit,omitempty"`
	Min      *float64  `json:"min,omitempty"`
	Max      *float64  `json:"max,omitempty"`
	Step     float64   `json:"step,omitempty"`
	Default  any       `json:"default,omitempty"`
	Choices  []Option  `json:"choices,omitempty"`
	Must     *bool     `json:"must,omitempty"` // the only yes/no that is accepted: a caution is acknowledged or nothing begins
	Optional bool      `json:"optional,omitempty"`
	OutOf    string    `json:"out_of,omitempty"` // why a number outside the limits cannot be, in words
}

// An Option is one choice of a Field.
type Option struct {
	Value string `json:"value"`
	Label string `json:"label"`
}

// FieldError names a field that cannot be accepted and says what would be.
type FieldError struct {
	Field  string
	Detail string // "is -3, but a length cannot be negative"
	Accept string // "0 to 120 mm"
}

func (e *FieldError) Error() string {
	return fmt.Sprintf("%s %s; accepted: %s", e.Field, e.Detail, e.Accept)
}

// Validate reads one JSON object with these fields and returns it with defaults filled in, keys in the fields' order.
func (q Question) Validate(raw json.RawMessage) (json.RawMessage, error) {
	out, given, err := validate(q.Fields, raw, q.OneOf)
	if err != nil {
		return nil, err
	}
	if q.OneOf && given != 1 {
		return nil, q.notOne(given)
	}
	return out, nil
}

// notOne says how a question is answered that takes one of its fields.
func (q Question) notOne(given int) error {
	all := names(q.Fields)
	e := &FieldError{Field: all[0], Detail: "is missing", Accept: "give one of " + strings.Join(all, ", ")}
	if given > 1 {
		last := len(all) - 1
		e.Detail, e.Accept = "is not the only answer", "give "+strings.Join(all[:last], ", ")+" or "+all[last]+", not both"
	}
	if given > 1 && len(all) > 2 {
		e.Accept = "give one of " + strings.Join(all, ", ") + ", not more"
	}
	return e
}

// ValidateInputs reads one JSON object with a routine's input fields and returns it with defaults filled in.
func ValidateInputs(fields []Field, raw json.RawMessage) (json.RawMessage, error) {
	out, _, err := validate(fields, raw, false)
	return out, err
}

func names(fields []Field) []string {
	out := make([]string, len(fields))
	for i, f := range fields {
		out[i] = f.Name
	}
	return out
}

func validate(fields []Field, raw json.RawMessage, oneOf bool) (json.RawMessage, int, error) {
	given := map[string]json.RawMessage{}
	if len(raw) > 0 {
		if err := json.Unmarshal(raw, &given); err != nil {
			return nil, 0, &FieldError{Field: "body", Detail: "is not one JSON object", Accept: "an object with " + strings.Join(names(fields), ", ")}
		}
	}
	known := names(fields)
	for _, name := range sortedKeys(given) {
		if !slices.Contains(known, name) {
			return nil, 0, &FieldError{Field: name, Detail: "is not asked for", Accept: strings.Join(known, ", ")}
		}
	}
	var out bytes.Buffer
	out.WriteByte('{')
	count := 0
	for _, f := range fields {
		v, have := given[f.Name]
		if have && string(v) == "null" {
			have = false
		}
		switch {
		case have:
			count++
		case oneOf || (f.Optional && f.Default == nil):
			continue
		case f.Default != nil:
			var err error
			if v, err = json.Marshal(f.Default); err != nil {
				return nil, 0, fmt.Errorf("print the default of %s: %w", f.Name, err)
			}
		default:
			return nil, 0, &FieldError{Field: f.Name, Detail: "is missing", Accept: f.Accepts()}
		}
		if err := f.check(v); err != nil {
			return nil, 0, err
		}
		if out.Len() > 1 {
			out.WriteByte(',')
		}
		fmt.Fprintf(&out, "%q:%s", f.Name, canonical(v))
	}
	out.WriteByte('}')
	return out.Bytes(), count, nil
}

func sortedKeys(m map[string]json.RawMessage) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// canonical prints a checked value in one way, so that 2.5 and 2.50 are the same answer.
func canonical(v json.RawMessage) []byte {
	var x any
	if json.Unmarshal(v, &x) != nil {
		return v
	}
	out, err := json.Marshal(x)
	if err != nil {
		return v
	}
	return out
}

func (f Field) check(v json.RawMessage) error {
	refuse := func(detail string) error {
		return &FieldError{Field: f.Name, Detail: detail, Accept: f.Accepts()}
	}
	switch f.Kind {
	case Number:
		var x float64
		if json.Unmarshal(v, &x) != nil || math.IsNaN(x) || math.IsInf(x, 0) {
			return refuse("is not a number")
		}
		if (f.Min != nil && x < *f.Min) || (f.Max != nil && x > *f.Max) {
			why := f.OutOf
			if why == "" {
				why = "is outside its limits"
			}
			return refuse(fmt.Sprintf("is %g: %s", x, why))
		}
	case Choice:
		var s string
		if json.Unmarshal(v, &s) != nil || !slices.ContainsFunc(f.Choices, func(o Option) bool { return o.Value == s }) {
			return refuse("is none of the choices")
		}
	case Yes:
		var b bool
		if json.Unmarshal(v, &b) != nil {
			return refuse("is not true or false")
		}
		if f.Must != nil && b != *f.Must {
			return refuse(fmt.Sprintf("is %t", b))
		}
	case Text:
		var s string
		if json.Unmarshal(v, &s) != nil || len(s) > 200 {
			return refuse("is not a text of at most 200 bytes")
		}
	default:
		return fmt.Errorf("field %s has the unknown kind %q", f.Name, f.Kind)
	}
	return nil
}

// Accepts says in words what the field takes.
func (f Field) Accepts() string {
	switch f.Kind {
	case Number:
		unit := ""
		if f.Unit != "" {
			unit = " " + f.Unit
		}
		switch {
		case f.Min != nil && f.Max != nil:
			return fmt.Sprintf("%g to %g%s", *f.Min, *f.Max, unit)
		case f.Min != nil:
			return fmt.Sprintf("at least %g%s", *f.Min, unit)
		case f.Max != nil:
			return fmt.Sprintf("at most %g%s", *f.Max, unit)
		}
		return "a number" + unit
	case Choice:
		values := make([]string, len(f.Choices))
		for i, o := range f.Choices {
			values[i] = o.Value
		}
		return strings.Join(values, ", ")
	case Yes:
		if f.Must != nil {
			return fmt.Sprint(*f.Must)
		}
		return "true or false"
	}
	return "a text of at most 200 bytes"
}

// Limit is a bound of a Field.
func Limit(x float64) *float64 { return &x }
