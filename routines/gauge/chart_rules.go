package gauge

import "slices"

// The rules by which a chart says that something has changed, in the words a person is told. A steady process breaks
// one of them now and then: each asks for a look, none is a proof.
const (
	RuleBeyond     = "one beyond the limit"
	RuleTwoOfThree = "two of three in a row far out on one side"
	RuleFourOfFive = "four of five in a row well out on one side"
	RuleEight      = "eight in a row on one side of the middle"
	RuleSixOneWay  = "six in a row, each further the same way"
	RuleFourteen   = "fourteen in a row, up and down by turns"
)

// A Signal is a rule that was broken from one point of a chart to another, counted from 0. The first is the one at which
// it was noticed: the points that lead up to it lie before it.
type Signal struct {
	Rule     string
	From, To int
	Side     string // "high", "low"; empty where the rule has no side
}

// A rule looks at the last span values, as standard deviations from the centre and turned so that high is out.
type rule struct {
	name   string
	span   int
	sides  []side
	broken func(window []float64) bool
}

type side struct {
	name string
	sign float64
}

func beyondRule() rule { return rule{RuleBeyond, 1, bothSides(), beyond(1, farSigma)} }

// allRules are those of NIST/SEMATECH e-Handbook 6.3.2 (the list from memory), in words of the trade.
func allRules() []rule {
	return []rule{
		beyondRule(),
		{RuleTwoOfThree, 3, bothSides(), beyond(2, 2)},
		{RuleFourOfFive, 5, bothSides(), beyond(4, 1)},
		{RuleEight, 8, bothSides(), beyond(8, 0)},
		{RuleSixOneWay, 6, bothSides(), climbing},
		{RuleFourteen, 14, []side{{"", 1}}, turning},
	}
}

func bothSides() []side { return []side{{"high", 1}, {"low", -1}} }

// beyond is broken where at least so many of the window, the last among them, lie more than sigma out.
func beyond(least int, sigma float64) func([]float64) bool {
	return func(window []float64) bool {
		count := 0
		for _, z := range window {
			if z > sigma {
				count++
			}
		}
		return count >= least && window[len(window)-1] > sigma
	}
}

func climbing(window []float64) bool {
	for i := range window[1:] {
		if window[i+1] <= window[i] {
			return false
		}
	}
	return true
}

func turning(window []float64) bool {
	for i := range window[2:] {
		if (window[i+1]-window[i])*(window[i+2]-window[i+1]) >= 0 {
			return false
		}
	}
	return true
}

// signalsIn finds where values, as standard deviations from the centre, break rules: in the order of noticing.
func signalsIn(z []float64, rules []rule) []Signal {
	var out []Signal
	for _, r := range rules {
		for _, s := range r.sides {
			out = append(out, r.stretches(z, s)...)
		}
	}
	slices.SortStableFunc(out, func(a, b Signal) int { return a.From - b.From })
	return out
}

// stretches are the runs of neighbouring points at all of which the rule is broken.
func (r rule) stretches(z []float64, s side) []Signal {
	turned := make([]float64, len(z))
	for i := range z {
		turned[i] = s.sign * z[i]
	}
	var out []Signal
	for to := r.span; to <= len(turned); to++ {
		if !r.broken(turned[to-r.span : to]) {
			continue
		}
		if last := len(out) - 1; last >= 0 && out[last].To == to-2 {
			out[last].To = to - 1
			continue
		}
		out = append(out, Signal{Rule: r.name, From: to - 1, To: to - 1, Side: s.name})
	}
	return out
}
