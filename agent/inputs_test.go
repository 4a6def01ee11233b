package main

import (
	"fmt"
	"strings"
	"testing"

	"fettle/api/held"
	"fettle/routines"
)

// What the document says of the inputs of the feed side is what the routines ask for: the same names, choices and limits.
func TestTheDocumentKnowsTheInputs(t *testing.T) {
	schemas, described := held.Document(t).Components.Schemas, 0
	for _, r := range registry {
		schema := schemas[inputsNamed(r.Name)]
		if schema == nil {
			continue
		}
		described++
		if len(schema.Value.Properties) != len(r.Inputs) {
			t.Errorf("%s: the document has %d inputs, the routine %d", r.Name, len(schema.Value.Properties), len(r.Inputs))
		}
		for _, f := range r.Inputs {
			p := schema.Value.Properties[f.Name]
			if p == nil {
				t.Errorf("%s: %s is not in the document", r.Name, f.Name)
				continue
			}
			if got, want := limitsOf(p.Value.Min, p.Value.Max)+fmt.Sprint(p.Value.Enum), limitsOf(f.Min, f.Max)+fmt.Sprint(choicesOf(f)); got != want {
				t.Errorf("%s: %s takes %s in the document and %s in the routine", r.Name, f.Name, got, want)
			}
			if p.Ref == "" && fmt.Sprint(p.Value.Default) != fmt.Sprint(f.Default) {
				t.Errorf("%s: %s is %v in the document where nothing is said, and %v in the routine", r.Name, f.Name, p.Value.Default, f.Default)
			}
		}
	}
	if described != 3 {
		t.Errorf("the inputs of %d routines are described, want feed_check, flow_limit and filament_diameter", described)
	}
}

// inputsNamed is what the document calls the inputs of a routine: FeedCheckInputs of feed_check.
func inputsNamed(routine string) string {
	var name strings.Builder
	for word := range strings.SplitSeq(routine, "_") {
		name.WriteString(strings.ToUpper(word[:1]) + word[1:])
	}
	return name.String() + "Inputs"
}

func limitsOf(low, high *float64) string {
	text := func(x *float64) string {
		if x == nil {
			return "anything"
		}
		return fmt.Sprint(*x)
	}
	return text(low) + " to " + text(high) + " "
}

func choicesOf(f routines.Field) (names []any) {
	for _, c := range f.Choices {
		names = append(names, c.Value)
	}
	return names
}
