// Package gcode is the language of the line: words, blocks, frames with number and checksum, and what a printer
// answers. It is pure: bytes in, values out.
//
// Owns: the closed grammar of what may be sent, and the reading of replies, temperatures, positions and settings.
// Guarantees: what Append prints, Parse reads back as the same block; no reader allocates on the path of a reply, and
// none panics whatever the printer says.
// Does not do: I/O, time, or the judgement whether a block may be sent to this printer; serialio/machine holds limits.
// Read next: parse.go (the grammar), frame.go, reply.go, settings.go, then serialio/engine.go.
package gcode

import (
	"math"
	"strconv"
)

// MaxValue bounds the magnitude of any number that is read or printed. Nothing a printer is told comes near it, and
// below it every number prints without an exponent in a few bytes.
const MaxValue = 1e9

// A Word is one letter with its number: "X10.5". Bare is a letter alone: "M92 E" asks, "G28 X" homes one axis.
type Word struct {
	Letter byte    `json:"letter"`
	Value  float64 `json:"value"`
	Bare   bool    `json:"bare,omitempty"`
}

// A Block is one line to the printer: a command word (G, M or T) and its parameters, in order.
type Block struct {
	Words []Word `json:"words"`
}

// Append prints the block in capitals, one space between words, shortest decimals and no exponent. A block with a
// number that is not finite prints as nothing, and nothing cannot be sent.
func (b Block) Append(dst []byte) []byte {
	begin := len(dst)
	for i, w := range b.Words {
		if !printable(w) {
			return dst[:begin]
		}
		if i > 0 {
			dst = append(dst, ' ')
		}
		dst = append(dst, w.Letter&^0x20)
		if !w.Bare {
			dst = strconv.AppendFloat(dst, w.Value+0, 'f', -1, 64)
		}
	}
	return dst
}

// String is the block as Append prints it.
func (b Block) String() string { return string(b.Append(nil)) }

// Is reports whether the block's command is the given word: "M92".
func (b Block) Is(word string) bool {
	if len(b.Words) == 0 || len(word) < 2 || b.Words[0].Letter != word[0] || b.Words[0].Bare {
		return false
	}
	v, err := strconv.ParseFloat(word[1:], 64)
	return err == nil && v == b.Words[0].Value
}

// Value is the number of the first parameter with that letter; the command word itself is no parameter.
func (b Block) Value(letter byte) (float64, bool) {
	for i, w := range b.Words {
		if i > 0 && w.Letter == letter && !w.Bare {
			return w.Value, true
		}
	}
	return 0, false
}

// printable reports whether a word has a letter of the alphabet and a number that prints.
func printable(w Word) bool {
	upper := w.Letter &^ 0x20
	return upper >= 'A' && upper <= 'Z' && (w.Bare || math.Abs(w.Value) < MaxValue)
}
