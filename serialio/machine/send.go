package machine

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"fettle/serialio"
	"fettle/serialio/gcode"
)

// maxBlockBytes keeps a frame, `N1234567 <block>*255` and its line end, within 64 bytes: two of them fit a receive
// buffer of 128, so that a stop never waits behind more than one line of ours.
const maxBlockBytes = 64 - len("N1234567 ") - len("*255\n")

// block makes a block of a command word and its parameters: block("M104", 'S', 205).
func block(command string, params ...any) gcode.Block {
	letter, number := command[0], 0
	for _, digit := range command[1:] {
		number = number*10 + int(digit-'0')
	}
	b := gcode.Block{Words: []gcode.Word{{Letter: letter, Value: float64(number)}}}
	for i := 0; i+1 < len(params); i += 2 {
		b.Words = append(b.Words, gcode.Word{Letter: byte(params[i].(rune)), Value: params[i+1].(float64)})
	}
	return b
}

// name is the command word of a block: "M92".
func name(b gcode.Block) string {
	if len(b.Words) == 0 {
		return ""
	}
	return gcode.Block{Words: b.Words[:1]}.String()
}

// send is the last place before the wire. What is never sent, heat, and the speed of filament alone are refused here once
// more, whatever a verb forgot; the way and the time of a move are held where they are known, in move.go.
func (m *Machine) send(ctx context.Context, b gcode.Block) (serialio.Reply, error) {
	text := b.String()
	if err := m.lastLook(b, text); err != nil {
		return serialio.Reply{}, err
	}
	return m.put(ctx, text)
}

// put sends a printed block that has been looked at.
func (m *Machine) put(ctx context.Context, text string) (serialio.Reply, error) {
	if ctx.Err() != nil {
		return serialio.Reply{}, fmt.Errorf("send %s: %w", text, context.Cause(ctx))
	}
	reply, err := m.line.Send(ctx, text) // its errors name the block
	if ctx.Err() != nil && errors.Is(err, ctx.Err()) {
		err = fmt.Errorf("send %s: %w", text, context.Cause(ctx)) // who ended it says more than that it ended
	}
	return reply, err
}

func (m *Machine) lastLook(b gcode.Block, text string) error {
	word := name(b)
	if no, ok := never[word]; ok {
		return &RefusedError{word, no.why, no.accept}
	}
	if len(text) > maxBlockBytes || strings.ContainsAny(text, "\r\n*;()") {
		return tooLong(word, len(text))
	}
	celsius, _ := b.Value('S')
	switch word {
	case "M104":
		return m.held().nozzle(word, celsius)
	case "M140":
		return m.held().bed(word, celsius)
	case "G0", "G1":
		return m.held().filamentAlone(b)
	}
	return nil
}

func tooLong(word string, bytes int) error {
	return &RefusedError{word, fmt.Sprintf("the line is %d bytes long", bytes), fmt.Sprintf("at most %d bytes", maxBlockBytes)}
}

// do sends a block whose reply says nothing that matters.
func (m *Machine) do(ctx context.Context, command string, params ...any) error {
	_, err := m.send(ctx, block(command, params...))
	return err
}

// round to so many decimals: firmware reads no more, and short lines are damaged less often.
func round(x float64, decimals int) float64 {
	p := math.Pow10(decimals)
	return math.Round(x*p)/p + 0 // + 0 makes a minus zero plain
}
