package gcode

import "strings"

// Identity is what a printer says of itself (M115).
type Identity struct {
	Firmware string          `json:"firmware"` // FIRMWARE_NAME, with its version as the firmware gives it
	Machine  string          `json:"machine"`  // MACHINE_TYPE
	UUID     string          `json:"uuid"`
	Raw      string          `json:"raw"` // the line it was read from
	Caps     map[string]bool `json:"caps,omitempty"`
}

// ParseIdentity reads the answer to M115. What it does not find stays empty.
func ParseIdentity(lines []string) Identity {
	var id Identity
	for _, line := range lines {
		line = strings.TrimSpace(line)
		if name, value, ok := capability(line); ok {
			if id.Caps == nil {
				id.Caps = map[string]bool{}
			}
			id.Caps[name] = value
			continue
		}
		if strings.Contains(line, "FIRMWARE_NAME:") {
			id.Raw = line
			id.Firmware, id.Machine, id.UUID = named(line, "FIRMWARE_NAME"), named(line, "MACHINE_TYPE"), named(line, "UUID")
		}
	}
	return id
}

// capability reads "Cap:AUTOREPORT_TEMP:1".
func capability(line string) (name string, value, ok bool) {
	rest, ok := strings.CutPrefix(line, "Cap:")
	if !ok {
		return "", false, false
	}
	name, digit, ok := strings.Cut(rest, ":")
	return name, digit == "1", ok && name != "" && (digit == "0" || digit == "1")
}

// named is the value behind "KEY:", up to the next key. A value may hold blanks and colons, a key is capitals, digits
// and underscores.
func named(line, key string) string {
	words := strings.Split(line, " ")
	for i, w := range words {
		value, ok := strings.CutPrefix(w, key+":")
		if !ok {
			continue
		}
		for _, next := range words[i+1:] {
			if isKey(next) {
				break
			}
			value += " " + next
		}
		return strings.TrimSpace(value)
	}
	return ""
}

func isKey(word string) bool {
	i := strings.IndexByte(word, ':')
	return i > 1 && strings.Trim(word[:i], "ABCDEFGHIJKLMNOPQRSTUVWXYZ_0123456789") == ""
}
