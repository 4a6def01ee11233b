package routines

// Schema is the field as JSON Schema (draft 2020-12).
func (f Field) Schema() map[string]any {
	s := map[string]any{"title": f.Label}
	if f.Default != nil {
		s["default"] = f.Default
	}
	switch f.Kind {
	case Number:
		s["type"] = "number"
		if f.Min != nil {
			s["minimum"] = *f.Min
		}
		if f.Max != nil {
			s["maximum"] = *f.Max
		}
		if f.Unit != "" {
			s["description"] = "in " + f.Unit
		}
	case Choice:
		values := make([]any, len(f.Choices))
		for i, o := range f.Choices {
			values[i] = o.Value
		}
		s["type"], s["enum"] = "string", values
	case Yes:
		s["type"] = "boolean"
		if f.Must != nil {
			s["const"] = *f.Must
		}
	case Text:
		s["type"], s["maxLength"] = "string", 200
	}
	return s
}

// Schema is a list of fields as one JSON Schema object.
func Schema(fields []Field) map[string]any {
	properties := map[string]any{}
	required := []string{}
	for _, f := range fields {
		properties[f.Name] = f.Schema()
		if !f.Optional && f.Default == nil {
			required = append(required, f.Name)
		}
	}
	return map[string]any{"$schema": "https://json-schema.org/draft/2020-12/schema", "type": "object",
		"properties": properties, "required": required, "additionalProperties": false}
}
