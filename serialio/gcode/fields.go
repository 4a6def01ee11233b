package gcode

import "bytes"

// A field is one "key:value" of a report: "T:201.3 /205.0", "B@:0", "X:10.00".
type field struct {
	key       []byte
	value     float64
	target    float64
	hasTarget bool
	number    bool // the value is a number; "nan" and "?" are not
}

// nextField reads the field at the beginning of a text, with or without blanks around its parts.
func nextField(rest []byte) (field, []byte, bool) {
	rest = bytes.TrimLeft(rest, " \t")
	i := 0
	for i < len(rest) && i < 4 && keyByte(rest[i]) {
		i++
	}
	if i == 0 || i >= len(rest) || rest[i] != ':' {
		return field{}, rest, false
	}
	f := field{key: rest[:i]}
	rest = bytes.TrimLeft(rest[i+1:], " ")
	if f.value, rest, f.number = decimal(rest); !f.number {
		var ok bool
		if rest, ok = noNumber(rest); !ok {
			return field{}, rest, false
		}
	}
	if after := bytes.TrimLeft(rest, " "); len(after) > 0 && after[0] == '/' {
		f.target, rest, f.hasTarget = decimal(bytes.TrimLeft(after[1:], " "))
		if !f.hasTarget {
			return field{}, rest, false
		}
	}
	return f, skipRaw(rest), true
}

func keyByte(c byte) bool {
	return c == '@' || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9')
}

// noNumber passes over what a firmware says where it has no number.
func noNumber(rest []byte) ([]byte, bool) {
	for _, word := range [...]string{"nan", "-nan", "inf", "-inf", "?"} {
		if after, ok := cutFold(rest, word); ok {
			return after, true
		}
	}
	return rest, false
}

// skipRaw passes over a raw reading in parentheses: "T:20.1 /0.0 (312.5)".
func skipRaw(rest []byte) []byte {
	after := bytes.TrimLeft(rest, " ")
	if len(after) == 0 || after[0] != '(' {
		return rest
	}
	if _, tail, ok := decimal(after[1:]); ok && len(tail) > 0 && tail[0] == ')' {
		return tail[1:]
	}
	return rest
}

// fields reports whether a whole line is fields and nothing else, the motor counts of a position aside.
func fields(line []byte) bool {
	if len(line) == 0 {
		return false
	}
	for len(line) > 0 {
		if after, ok := cutFold(line, "count "); ok {
			line = after
		}
		var ok bool
		if _, line, ok = nextField(line); !ok {
			return false
		}
		line = bytes.TrimLeft(line, " \t")
	}
	return true
}

// percent reports whether a whole line is a multiplier: "FR:100%".
func percent(line []byte) bool {
	f, rest, ok := nextField(line)
	return ok && f.number && !f.hasTarget && string(rest) == "%"
}

// settingRow reports whether a line has the form of a settings row: a G or M word and parameters.
func settingRow(line []byte) bool {
	if len(line) < 4 || (line[0] != 'G' && line[0] != 'M') {
		return false
	}
	_, rest, ok := number(line[1:])
	for ok && len(rest) > 0 && rest[0] == ' ' {
		rest = bytes.TrimLeft(rest, " ")
		switch {
		case len(rest) == 0 || rest[0] == ';':
			return true
		case rest[0] < 'A' || rest[0] > 'Z':
			return false
		}
		_, after, have := decimal(rest[1:])
		if rest = rest[1:]; have {
			rest = after
		}
	}
	return ok && len(rest) == 0
}
