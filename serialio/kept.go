package serialio

import "fettle/serialio/gcode"

// mostKept is how many lines are kept, and so how many may stand told done before one of them is proven: at 115,200 bit/s
// about three seconds of them.
const mostKept = 1024

// kept is the lines that the printer may yet ask for again: sent, and not proven to be obeyed. An ok proves nothing by
// itself, since one that came twice is taken for the next line's, and all behind it for their neighbours'. A line is proven
// when the printer has named the one behind it.
type kept struct {
	proven int64 // the last line that is proven; in a fresh count the base
	sent   int64 // the last one sent in this count
	told   int64 // the last one told done
	frames [mostKept]keptFrame
}

type keptFrame struct {
	n    uint8
	text [maxBlock + 24]byte
}

// begin starts a fresh count: nothing of the one before can be asked for any more.
func (k *kept) begin(base int64) { k.proven, k.sent, k.told = base, base, base }

// keep frames the next line, and keeps it.
func (k *kept) keep(number int64, block []byte) {
	f := &k.frames[number%mostKept]
	f.n = uint8(len(gcode.AppendFrame(f.text[:0], number, block)))
	k.sent = number
}

// frame is a line that is kept.
func (k *kept) frame(number int64) []byte {
	f := &k.frames[number%mostKept]
	return f.text[:f.n]
}

// has reports whether a line can be sent again.
func (k *kept) has(number int64) bool { return k.proven < number && number <= k.sent }

// full reports whether the next line would push out one that is not proven.
func (k *kept) full() bool { return k.sent-k.proven >= mostKept }

func (k *kept) prove(number int64) { k.proven = max(k.proven, number) }

// unsure is how many lines were told done and are not proven.
func (k *kept) unsure() int { return int(max(k.told-k.proven, 0)) }
