package port

import (
	"errors"
	"slices"
	"syscall"
	"testing"
)

// lineDriver takes down what it is told; a pseudo-terminal has no such lines to look at.
type lineDriver struct {
	told []string
	fail error
}

func (d *lineDriver) set(name string, high bool) error {
	if high {
		name += " high"
	}
	d.told = append(d.told, name)
	return d.fail
}
func (d *lineDriver) SetDTR(high bool) error { return d.set("DTR", high) }
func (d *lineDriver) SetRTS(high bool) error { return d.set("RTS", high) }

func TestOnlyTheLinesNamedAreLowered(t *testing.T) {
	for _, c := range []struct {
		low  []Line
		want []string
	}{{nil, nil}, {[]Line{DTR}, []string{"DTR"}}, {[]Line{RTS}, []string{"RTS"}}, {[]Line{DTR, RTS}, []string{"DTR", "RTS"}}} {
		d := &lineDriver{}
		if err := lower(d, c.low); err != nil || !slices.Equal(d.told, c.want) {
			t.Errorf("%v: told %v, %v", c.low, d.told, err)
		}
	}
	if err := lower(&lineDriver{fail: syscall.EIO}, []Line{DTR}); !errors.Is(err, syscall.EIO) {
		t.Errorf("a line that cannot be lowered: %v", err)
	}
}

// A pseudo-terminal has no such lines, and opens all the same.
func TestAPortWithoutLinesHasNothingToLower(t *testing.T) {
	mustOpen(t, newCable(t).name, 0, DTR, RTS)
}
