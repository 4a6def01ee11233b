package serialio

import (
	"fmt"
	"sort"
	"strings"
)

// counters is how often each branch of the engine, and each lie of the printer, was reached.
type counters map[string]int

func (c *counters) count(s *session) {
	if *c == nil {
		*c = counters{}
	}
	m, t := *c, s.engine.tally
	for name, n := range map[string]int{"refused": t.refused, "resent": t.resent, "asked": t.asked, "unknown": t.unknown, "marked": t.marked,
		"restarted": t.restarted, "noisy": t.noisy, "bursts": t.bursts, "surplus": t.surplus, "ordered": t.ordered, "unchecked": t.unchecked,
		"checked": t.checked, "went back": t.wentBack, "onward": t.onward, "strayed": t.strayed} {
		m["engine: "+name] += n
	}
	for _, l := range s.far.profile.Lies {
		m["lie: "+string(l.Lie)] += s.far.firmware.Told(l.Lie)
	}
	m["session: woken by a person"] += s.wakes
	m["session: printer switched off and on"] += s.presses
	m["session: board restarted"] += s.far.resets
}

func (c *counters) add(o counters) {
	if *c == nil {
		*c = counters{}
	}
	for name, n := range o {
		(*c)[name] += n
	}
}

func (c counters) names() []string {
	names := make([]string, 0, len(c))
	for name := range c {
		names = append(names, name)
	}
	sort.Strings(names)
	return names
}

func (c counters) below(least int) (names []string) {
	for _, name := range c.names() {
		if c[name] < least {
			names = append(names, name)
		}
	}
	return names
}

func (c counters) table() string {
	var b strings.Builder
	for _, name := range c.names() {
		fmt.Fprintf(&b, "%10d  %s\n", c[name], name)
	}
	return b.String()
}
