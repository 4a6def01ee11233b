package routines_test

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"fettle/routines"
)

var yes = true

var fields = []routines.Field{
	{Name: "leftover_mm", Kind: routines.Number, Unit: "mm", Min: routines.Limit(0), Max: routines.Limit(120), OutOf: "a length cannot be negative or above the mark"},
	{Name: "gauge", Kind: routines.Choice, Default: "caliper", Choices: []routines.Option{{Value: "caliper"}, {Value: "rule"}}},
	{Name: "present", Kind: routines.Yes, Must: &yes, Optional: true},
	{Name: "note", Kind: routines.Text, Optional: true},
}

func TestFieldsSayWhatTheyTake(t *testing.T) {
	for _, c := range []struct{ in, out, field, accept string }{
		{`{"leftover_mm":23.4}`, `{"leftover_mm":23.4,"gauge":"caliper"}`, "", ""},
		{`{"note":"x","leftover_mm":0,"gauge":"rule","present":true}`, `{"leftover_mm":0,"gauge":"rule","present":true,"note":"x"}`, "", ""},
		{`{"leftover_mm":23.40}`, `{"leftover_mm":23.4,"gauge":"caliper"}`, "", ""},
		{`{"leftover_mm":23.4,"note":null}`, `{"leftover_mm":23.4,"gauge":"caliper"}`, "", ""},
		{`{}`, "", "leftover_mm", "0 to 120 mm"},
		{`{"leftover_mm":-3}`, "", "leftover_mm", "0 to 120 mm"},
		{`{"leftover_mm":120.01}`, "", "leftover_mm", "0 to 120 mm"},
		{`{"leftover_mm":"23"}`, "", "leftover_mm", "0 to 120 mm"},
		{`{"leftover_mm":1e400}`, "", "leftover_mm", "0 to 120 mm"},
		{`{"leftover_mm":1,"gauge":"eye"}`, "", "gauge", "caliper, rule"},
		{`{"leftover_mm":1,"present":false}`, "", "present", "true"},
		{`{"leftover_mm":1,"leftover":2}`, "", "leftover", "leftover_mm, gauge, present, note"},
		{`{"leftover_mm":1,"note":"` + strings.Repeat("x", 201) + `"}`, "", "note", "a text of at most 200 bytes"},
		{`[1]`, "", "body", "an object with leftover_mm, gauge, present, note"},
	} {
		out, err := routines.ValidateInputs(fields, json.RawMessage(c.in))
		var refused *routines.FieldError
		switch {
		case c.field == "" && (err != nil || string(out) != c.out):
			t.Errorf("%s: got %s, %v; want %s", c.in, out, err, c.out)
		case c.field != "" && (!errors.As(err, &refused) || refused.Field != c.field || refused.Accept != c.accept):
			t.Errorf("%s: got %v; want %s refused, accepted: %s", c.in, err, c.field, c.accept)
		}
	}
}

func TestOneOfTakesExactlyOne(t *testing.T) {
	q := routines.Question{OneOf: true, Fields: []routines.Field{fields[0],
		{Name: "instead", Kind: routines.Choice, Choices: []routines.Option{{Value: "mark_went_in"}}}}}
	for in, says := range map[string]string{
		`{"leftover_mm":1}`: "", `{"instead":"mark_went_in"}`: "",
		`{}`: "give one of leftover_mm, instead", `{"leftover_mm":1,"instead":"mark_went_in"}`: "give leftover_mm or instead, not both",
	} {
		_, err := q.Validate(json.RawMessage(in))
		var refused *routines.FieldError
		if (err == nil) != (says == "") || err != nil && (!errors.As(err, &refused) || refused.Accept != says) {
			t.Errorf("%s: %v", in, err)
		}
	}
}

func TestValidateIsStable(t *testing.T) {
	once, err := routines.ValidateInputs(fields, json.RawMessage(`{"note":"a\"b","leftover_mm":2.50}`))
	if err != nil {
		t.Fatal(err)
	}
	twice, err := routines.ValidateInputs(fields, once)
	if err != nil || string(twice) != string(once) {
		t.Errorf("%s then %s, %v", once, twice, err)
	}
}
