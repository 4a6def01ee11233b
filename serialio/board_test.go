package serialio

import (
	"fmt"
	"strconv"
	"strings"
)

// board is a firmware in small: it knows the numbering rules of the dialect and nothing of the engine. It shares no
// code with the package.
type board struct {
	// What firmwares differ in.
	stubborn bool // M110 only in its turn
	lenient  bool // no line numbers at all

	last   int64
	rx     []byte // received and not yet looked at; 128 bytes of room
	lost   int    // bytes that found no room
	nozzle float64
	bed    float64
	dead   bool
}

type obeyed struct {
	number int64
	block  string
}

// receive takes one byte from the wire.
func (b *board) receive(c byte) {
	if len(b.rx) >= 128 {
		b.lost++
		return
	}
	b.rx = append(b.rx, c)
	if i := strings.Index(string(b.rx), "M112\n"); i >= 0 { // heard out of band
		b.dead, b.nozzle, b.bed = true, 0, 0
	}
}

// hasLine reports whether a whole line waits.
func (b *board) hasLine() bool {
	for _, c := range b.rx {
		if c == '\n' || c == '\r' {
			return true
		}
	}
	return false
}

// work obeys the first line that waits and returns what was obeyed, if anything, and what the board says.
func (b *board) work() (did *obeyed, says []string) {
	i := 0
	for b.rx[i] != '\n' && b.rx[i] != '\r' {
		i++
	}
	line := strings.TrimSpace(string(b.rx[:i]))
	b.rx = append(b.rx[:0], b.rx[i+1:]...)
	if line == "" || b.dead {
		return nil, nil
	}
	return b.obey(line)
}

func (b *board) obey(line string) (*obeyed, []string) {
	body, sum, hasSum := strings.Cut(line, "*")
	number, rest, hasNumber := cutNumber(body)
	switch {
	case hasSum && !hasNumber:
		return nil, b.refuse("No Line Number with checksum")
	case hasNumber && !hasSum:
		return nil, b.refuse("No Checksum with line number")
	case hasSum && sum != strconv.Itoa(xor(body)):
		return nil, b.refuse("checksum mismatch")
	case hasNumber && !b.lenient && number != b.last+1 && (b.stubborn || !strings.Contains(rest, "M110")):
		return nil, b.refuse("Line Number is not Last Line Number+1")
	}
	if hasNumber {
		b.last = number
	}
	return &obeyed{number, rest}, b.command(rest)
}

func (b *board) command(block string) []string {
	word, args, _ := strings.Cut(block, " ")
	switch word {
	case "M110":
		if n, err := strconv.ParseInt(strings.TrimPrefix(args, "N"), 10, 64); err == nil {
			b.last = n
		}
	case "M104", "M140":
		v, err := strconv.ParseFloat(strings.TrimPrefix(args, "S"), 64)
		if err == nil && word == "M104" {
			b.nozzle = v
		} else if err == nil {
			b.bed = v
		}
	case "M105":
		return []string{fmt.Sprintf("ok T:21.0 /%.1f B:20.0 /%.1f @:0 B@:0", b.nozzle, b.bed)}
	case "M114":
		return []string{"X:0.00 Y:0.00 Z:0.00 E:0.00 Count X:0 Y:0 Z:0", "ok"}
	case "M115":
		return []string{"FIRMWARE_NAME:Model 1 (invented) PROTOCOL_VERSION:1.0 MACHINE_TYPE:None EXTRUDER_COUNT:1 UUID:0", "Cap:AUTOREPORT_TEMP:1", "ok"}
	case "G1", "M400":
	default:
		return []string{`echo:Unknown command: "` + block + `"`, "ok"}
	}
	return []string{"ok"}
}

// refuse asks for the line that is due.
func (b *board) refuse(why string) []string {
	want := b.last + 1
	return []string{fmt.Sprintf("Error:%s, Last Line: %d", why, b.last), fmt.Sprintf("Resend: %d", want), "ok"}
}

// cutNumber cuts "N12 " off. A number that is none is still one, and never the one that is due.
func cutNumber(body string) (int64, string, bool) {
	if !strings.HasPrefix(body, "N") {
		return 0, body, false
	}
	digits, rest, _ := strings.Cut(body[1:], " ")
	n, err := strconv.ParseInt(digits, 10, 64)
	if err != nil {
		n = -1
	}
	return n, rest, true
}

func xor(s string) int {
	sum := 0
	for _, c := range []byte(s) {
		sum ^= int(c)
	}
	return sum
}
