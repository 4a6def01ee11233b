package main

import (
	"fmt"
	"io"
	"strings"

	"fettle/api/guard"

	"rsc.io/qr"
)

// invite shows the person at this computer how to pair a phone. The key stands behind the #, which a browser keeps to
// itself: it is in no request line, no log and no Referer.
func invite(out io.Writer, in guard.Invitation, where []string) {
	picture := ""
	if code, err := qr.Encode(where[0]+"/#pair="+in.Key, qr.L); err == nil { // nine digits do without
		picture = "\nor point its camera at this:\n\n" + halfBlocks(code)
	}
	fmt.Fprintf(out, `
To pair a phone within the next 10 minutes, open %s on it and type

    %s
%s
`, where[0], in.Code, picture)
}

// quiet is the width of the light border, in modules (ISO/IEC 18004 asks for four).
const quiet = 4

// halfBlocks draws a QR code with two modules in each character. Light modules are drawn and dark ones left, for a
// terminal with light letters on dark; turned round most cameras read it as well.
func halfBlocks(code *qr.Code) string {
	var out strings.Builder
	for y := -quiet; y < code.Size+quiet; y += 2 {
		for x := -quiet; x < code.Size+quiet; x++ {
			out.WriteRune(halfBlock(!code.Black(x, y), !code.Black(x, y+1)))
		}
		out.WriteByte('\n')
	}
	return out.String()
}

func halfBlock(upper, lower bool) rune {
	switch {
	case upper && lower:
		return '█'
	case upper:
		return '▀'
	case lower:
		return '▄'
	}
	return ' '
}
