package machine

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"testing/synctest"

	"pgregory.net/rapid"
)

// judge reads what reached the line and knows nothing of how it came there: its own grammar, its own list, its own
// arithmetic of where the printer is. Its limits are those of shop, written down once more.
type judge struct {
	at               [3]float64
	e                float64
	relative, eMoves bool // modes as they were sent
	axes, feed       bool // whose mode was sent since somebody last was at the panel
	attended         bool
}

// form is one block as it may look on the line: capitals, one blank, plain decimals.
var form = regexp.MustCompile(`^[GMT](0|[1-9][0-9]{0,3})( [A-Z](-?(0|[1-9][0-9]*)(\.[0-9]*[1-9])?)?)*$`)

// harmless is what may leave with nobody there; the others are judged one by one.
var harmless = map[string]string{
	"M105": "", "M114": "", "M115": "", "M119": "", "M503": "", "M92": "", "M201": "", "M203": "", "M204": "", "M205": "", "M207": "", "M208": "",
	"M220": "", "M221": "", "M400": "", "G21": "", "G90": "", "G91": "", "M82": "", "M83": "", "M106": "SP", "M107": "P", "G92": "E", "M104": "S", "M140": "S",
}

// moving is what may leave with a person there.
var moving = map[string]string{"G0": "XYZEF", "G1": "XYZEF", "G28": "XYZ", "G29": "", "M84": "XYZE"}

func (j *judge) read(line string) error {
	if len(line) > 50 || !form.MatchString(line) {
		return fmt.Errorf("no block of the closed grammar")
	}
	parts := strings.Fields(line)
	letters, known := harmless[parts[0]]
	if more, moves := moving[parts[0]]; moves {
		if !j.attended {
			return fmt.Errorf("moves and nobody is there")
		}
		letters, known = more, true
	}
	if !known {
		return fmt.Errorf("not on the list")
	}
	values := map[byte]float64{}
	for _, p := range parts[1:] {
		if _, twice := values[p[0]]; twice || !strings.Contains(letters, p[:1]) {
			return fmt.Errorf("%s does not belong there", p)
		}
		values[p[0]], _ = strconv.ParseFloat(p[1:], 64)
	}
	return j.obey(parts[0], values)
}

func (j *judge) obey(word string, v map[byte]float64) error {
	switch word {
	case "G90", "G91":
		j.relative, j.axes, j.feed = word == "G91", true, false // some firmware changes the feed's mode with it
	case "M82", "M83":
		j.eMoves, j.feed = word == "M83", true
	case "G92":
		j.e = v['E']
	case "M104", "M140":
		top := map[string]float64{"M104": 260, "M140": 110}[word]
		if s, given := v['S']; !given || s < 0 || s > top || (s > 0 && !j.attended) {
			return fmt.Errorf("heat of %g", s)
		}
	case "M106":
		if v['S'] < 0 || v['S'] > 255 {
			return fmt.Errorf("fan of %g", v['S'])
		}
	case "G0", "G1":
		return j.move(v)
	}
	return nil
}

func (j *judge) move(v map[byte]float64) error {
	f, given := v['F']
	if !given || f <= 0 || !j.axes || !j.feed {
		return fmt.Errorf("speed or modes are not known")
	}
	build, sum := [3]float64{220, 210, 200}, 0.0
	for i, axis := range []byte("XYZ") {
		goal, given := v[axis]
		if !given {
			continue
		}
		if j.relative {
			goal += j.at[i]
		}
		if goal < -1e-9 || goal > build[i]+1e-9 {
			return fmt.Errorf("%c goes to %g", axis, goal)
		}
		sum += (goal - j.at[i]) * (goal - j.at[i])
		j.at[i] = goal
	}
	way := math.Sqrt(sum)
	eTo, feeds := v['E']
	if !feeds {
		eTo = j.e
	} else if j.eMoves {
		eTo += j.e
	}
	fed := math.Abs(eTo - j.e)
	j.e = eTo
	seconds := way / f * 60
	if way == 0 {
		seconds = fed / f * 60
	}
	if seconds > 10.1 || (fed > 1e-9 && fed/seconds > 5.01) {
		return fmt.Errorf("%g mm and %g mm of filament in %g s", way, fed, seconds)
	}
	return nil
}

// try types lines into a printer and shows the judge all that left.
func try(t *testing.T, lines []string, attended func(i int) bool) (moved int, err error) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench()
		b.exact = true
		j := &judge{}
		m := b.machine(1)
		for i, line := range lines {
			before := len(b.sent)
			j.attended = attended(i)
			m.Single(t.Context(), line, j.attended)
			for _, out := range b.sent[before:] {
				if wrong := j.read(out); wrong != nil && err == nil {
					err = fmt.Errorf("typed %q, sent %q: %w", lines[:i+1], out, wrong)
				}
			}
			b.relative, b.feedRelative, j.axes, j.feed = true, true, false, false // the panel
		}
		moved = b.count("G1 ")
	})
	return moved, err
}

// likelyLine is what a person means to type: mostly good, often just too much.
func likelyLine(t *rapid.T) string {
	number := func(least, most float64) string {
		v := rapid.Float64Range(least-0.1*(most-least), most*1.1).Draw(t, "number")
		return strconv.FormatFloat(v, 'f', rapid.IntRange(0, 3).Draw(t, "decimals"), 64)
	}
	switch rapid.SampledFrom([]string{"mode", "mode", "move", "move", "move", "feed", "heat", "other"}).Draw(t, "kind") {
	case "mode":
		return rapid.SampledFrom([]string{"G90", "G91", "M82", "M83", "G92 E0"}).Draw(t, "mode")
	case "move":
		line := "G1"
		for _, axis := range rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"X", "Y", "Z", "E"}), 1, 4, rapid.ID).Draw(t, "axes") {
			line += " " + axis + number(0, map[string]float64{"X": 220, "Y": 210, "Z": 200, "E": 5}[axis])
		}
		return line + " F" + number(600, 9000)
	case "feed":
		return "G1 E" + number(-20, 20) + " F" + number(60, 300)
	case "heat":
		return rapid.SampledFrom([]string{"M104 S", "M140 S"}).Draw(t, "heater") + number(0, 260)
	}
	return rapid.SampledFrom([]string{"M105", "M92", "M106 S255", "M107", "G28", "M84", "G29", "M114"}).Draw(t, "other")
}

func typedLine(t *rapid.T) string {
	number := rapid.OneOf(
		rapid.SampledFrom([]string{"", "0", "-0", "1", "0.5", "5", "10", "100", "200", "205", "219.999", "220", "221", "260", "260.1", "300", "600", "6000", "-1", "-50", "1e3", "1e400", "NaN", "+0x10", "00", "1.", ".5", "--1", "999999999", "0.0000000001"}),
		rapid.Map(rapid.Float64Range(-300, 300), func(f float64) string { return strconv.FormatFloat(f, 'f', 2, 64) }))
	command := rapid.OneOf(
		rapid.SampledFrom([]string{"G0", "G1", "G1", "g1", "G01", "G90", "G91", "M82", "M83", "G92", "M104", "M140", "M106", "G28", "G29", "M84", "M105", "M92", "M221"}),
		rapid.SampledFrom([]string{"M109", "M190", "G4", "M112", "M500", "M302", "M303", "M85", "M997", "G20", "M211", "T1", "N5", "M28", "M410"}),
		rapid.Map(rapid.IntRange(-1, 1000), func(n int) string { return fmt.Sprintf("M%d", n) }))
	line := command.Draw(t, "command")
	for range rapid.IntRange(0, 5).Draw(t, "parameters") {
		line += rapid.SampledFrom([]string{" ", "", "  ", "\t"}).Draw(t, "blank") +
			rapid.SampledFrom([]string{"X", "Y", "Z", "E", "E", "F", "F", "S", "s", "x", "T", "P", "N", "G1", "M104 S", "*", ";", "(", "\n", "\r", "\x00", "é"}).Draw(t, "letter") + number.Draw(t, "number")
	}
	return line
}

// Whatever is typed, in whatever order, nothing outside the closed grammar or the limits reaches the line.
func TestNoTypedLineGetsPastTheLimits(t *testing.T) {
	total, trials := 0, 0 // each of 20 to 30 typed lines
	rapid.Check(t, func(rt *rapid.T) {
		trials++
		lines := rapid.SliceOfN(rapid.OneOf(rapid.Custom(typedLine), rapid.Custom(likelyLine)), 20, 30).Draw(rt, "lines")
		attended := rapid.SliceOfN(rapid.Bool(), 30, 30).Draw(rt, "attended")
		moved, err := try(t, lines, func(i int) bool { return attended[i] })
		if err != nil {
			rt.Fatal(err)
		}
		total += moved
	})
	if total == 0 || total*4 < trials {
		t.Errorf("only %d moves were sent in %d trials: the test has nothing to judge", total, trials)
	}
}

func FuzzSingle(f *testing.F) {
	for _, seed := range []string{"G1 X10 F600", "G91\x1eG1 Z-5 F600\x1eG1Z5F600", "M104 S205", "m106s255", "M83\x1eG1 E5 F60\x1eG1 X1 E.5 F60", "G28 X", "M109 S200", "G92 E5\x1eG1 E0 F60"} {
		f.Add(seed, true)
	}
	f.Fuzz(func(t *testing.T, typed string, attended bool) {
		lines := strings.Split(typed, "\x1e")
		if len(lines) > 20 {
			t.Skip()
		}
		if _, err := try(t, lines, func(int) bool { return attended }); err != nil {
			t.Fatal(err)
		}
	})
}

// The judge is a judge: it objects to what it should.
func TestTheJudgeObjects(t *testing.T) {
	for _, line := range []string{"M109 S200", "M104 S261", "M104", "g1 X1", "G1 X1  F60", "G1 X1.0 F60", "G1 X1 F60*5", "G1 X221 F6000", "G1 X-1 F6000", "G1 E50 F6000", "M92 E93", "M105\n", "G1 X1", "G1 X200 F60"} {
		j := &judge{attended: true}
		for _, mode := range []string{"G90", "M82"} {
			if err := j.read(mode); err != nil {
				t.Fatal(err)
			}
		}
		if j.read(line) == nil {
			t.Errorf("%q was let pass", line)
		}
	}
}
