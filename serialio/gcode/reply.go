package gcode

import "bytes"

// ReplyKind says what a line from the printer is.
type ReplyKind uint8

// The kinds of reply.
const (
	Unknown  ReplyKind = iota // text; never an ok
	OK                        // a line was accepted, as far as one can tell from two letters
	Resend                    // the line number it wants next
	Busy                      // alive, not done
	Wait                      // idle and hungry
	Error                     // "Error:..." of any sort but Fatal
	Fatal                     // it stopped itself: a heater fault, or halted
	Greeting                  // it has just started
	Remark                    // "echo:...", "// ..." or "; ..." that is no settings row
	Report                    // temperatures, position, identity or a settings row
)

func (k ReplyKind) String() string {
	names := [...]string{"unknown", "ok", "resend", "busy", "wait", "error", "fatal", "greeting", "remark", "report"}
	if int(k) < len(names) {
		return names[k]
	}
	return "unknown"
}

// A Reply is one line from the printer, told apart. Text points into the line that was read.
type Reply struct {
	Kind ReplyKind
	// Line is the number of a Resend, the "Last Line" of an Error, or the "N" of an OK, where HasLine.
	Line    int64
	HasLine bool
	// Text is the line without the word that told its kind: the readings behind "ok" and its own fields, the message
	// behind "Error:".
	Text []byte
	// Glued: an OK and what follows stand without a blank. Some firmware writes so; it may also be two lines that lost
	// what was between them, and the ok another line's.
	Glued bool
	// Doubtful: the line is not whole in a form we know, so it may be what is left of another. Every Unknown is.
	Doubtful bool
}

// ParseReply tells one line from the printer apart. It allocates nothing and takes any bytes. Replies carry no check:
// what it returns is what the line looks like, which is why an OK alone proves nothing.
func ParseReply(line []byte) Reply {
	line = bytes.TrimSpace(line)
	for _, read := range [...]func([]byte) (Reply, bool){readOK, readBusy, readResend, readError, readFatal, readPlain, readReport, readRemark} {
		if r, ok := read(line); ok {
			r.Doubtful = r.Doubtful || !text(line)
			return r
		}
	}
	return Reply{Kind: Unknown, Text: line, Doubtful: true}
}

// readOK reads "ok", "ok T:20.1 /0.0", "okT:20.1 /0.0", "ok N5 P15 B3".
func readOK(line []byte) (Reply, bool) {
	rest, ok := cutFold(line, "ok")
	if !ok {
		return Reply{}, false
	}
	if len(rest) > 0 && rest[0] != ' ' && !fields(rest) {
		return Reply{Kind: Unknown, Text: line, Doubtful: true}, true
	}
	r := Reply{Kind: OK, Glued: len(rest) > 0 && rest[0] != ' '}
	r.Line, r.HasLine, r.Text = ownFields(bytes.TrimSpace(rest))
	r.Doubtful = len(r.Text) > 0 && !fields(r.Text)
	return r, true
}

// ownFields takes an ok's own fields, "N5 P15 B3", from the beginning of a text: a line number, and what the printer
// has room for. Each of them may be missing.
func ownFields(text []byte) (line int64, hasLine bool, behind []byte) {
	for i, letter := range [...]string{"N", "P", "B"} {
		after, ok := cutFold(text, letter)
		if !ok {
			continue
		}
		n, tail, ok := number(after)
		if !ok || (len(tail) > 0 && tail[0] != ' ') { // "B:19.8" is a reading
			continue
		}
		if i == 0 {
			line, hasLine = n, true
		}
		text = bytes.TrimLeft(tail, " ")
	}
	return line, hasLine, text
}

// readResend reads "Resend: 12", "Resend:12", "rs 12" and "rs N12".
func readResend(line []byte) (Reply, bool) {
	rest, ok := cutFold(line, "resend:")
	if !ok {
		if rest, ok = cutFold(line, "rs "); !ok {
			return Reply{}, false
		}
	}
	rest = bytes.TrimLeft(rest, " ")
	if after, ok := cutFold(rest, "N"); ok {
		rest = bytes.TrimLeft(after, ": ")
	}
	n, tail, ok := number(rest)
	return Reply{Kind: Resend, Line: n, HasLine: ok, Text: rest, Doubtful: !ok || n < 0 || len(tail) > 0}, true
}

// readBusy reads "busy: processing" with or without "echo:" before it.
func readBusy(line []byte) (Reply, bool) {
	if rest, ok := cutFold(line, "echo:"); ok {
		line = bytes.TrimLeft(rest, " ")
	}
	rest, ok := cutFold(line, "busy:")
	return Reply{Kind: Busy, Text: bytes.TrimSpace(rest)}, ok
}

// readError reads "Error:..." and, where the message says that the printer stopped itself, makes it Fatal.
func readError(line []byte) (Reply, bool) {
	rest, ok := cutFold(line, "error:")
	if !ok {
		return Reply{}, false
	}
	r := Reply{Kind: Error, Text: bytes.TrimSpace(rest)}
	if _, stopped := faultKind(r.Text); stopped {
		r.Kind = Fatal
		return r, true
	}
	if i := indexFold(r.Text, "last line: "); i >= 0 {
		var tail []byte
		r.Line, tail, r.HasLine = number(r.Text[i+len("last line: "):])
		r.HasLine = r.HasLine && len(tail) == 0
	}
	return r, true
}

// readFatal reads "!!" and the words of a printer that stopped itself, however the line begins.
func readFatal(line []byte) (Reply, bool) {
	bangs := bytes.HasPrefix(line, []byte("!!"))
	loose := indexFold(line, "system stopped") >= 0 || indexFold(line, "printer halted") >= 0 || indexFold(line, "thermal runaway,") >= 0
	words := bytes.TrimSpace(bytes.TrimLeft(line, "!"))
	if len(words) == 0 { // it says no more, and a person is to see what it said
		words = line
	}
	return Reply{Kind: Fatal, Text: words}, bangs || loose
}

// readPlain reads the replies that are one word: "start" and "wait".
func readPlain(line []byte) (Reply, bool) {
	if rest, ok := cutFold(line, "start"); ok && len(rest) == 0 {
		return Reply{Kind: Greeting, Text: line}, true
	}
	rest, ok := cutFold(line, "wait")
	return Reply{Kind: Wait, Text: line}, ok && len(rest) == 0
}

// readRemark reads "echo:...", "// ..." and "; ...".
func readRemark(line []byte) (Reply, bool) {
	if rest, ok := cutFold(line, "echo:"); ok {
		rest = bytes.TrimSpace(rest)
		if settingRow(rest) || bytes.HasPrefix(rest, []byte(";")) { // a row, or a heading above rows
			return Reply{Kind: Report, Text: rest}, true
		}
		// A firmware that does not know a word may have been sent half a line.
		return Reply{Kind: Remark, Text: rest, Doubtful: indexFold(rest, "unknown command") >= 0}, true
	}
	for _, begin := range [...]string{"//", ";"} {
		if rest, ok := cutFold(line, begin); ok {
			return Reply{Kind: Remark, Text: bytes.TrimSpace(rest)}, true
		}
	}
	return Reply{}, false
}

// readReport reads the answers that are numbers or names in a known form.
func readReport(line []byte) (Reply, bool) {
	for _, begin := range [...]string{"firmware_name:", "cap:"} {
		if _, ok := cutFold(line, begin); ok {
			return Reply{Kind: Report, Text: line}, true
		}
	}
	if fields(line) || settingRow(line) || percent(line) {
		return Reply{Kind: Report, Text: line}, true
	}
	return Reply{}, false
}
