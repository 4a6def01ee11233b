package rung

import "math"

// A curve is one machine that may be: how the score of its worst gap falls with the length. Two shapes are known from our
// own melt model: on a direct drive strings thin out evenly; on a tube nothing is seen to change while the stroke takes
// up the slack, and then they are gone within less than a millimetre.
type curve struct {
	zero  float64 // score without retraction
	floor float64 // score that stays whatever the length
	topMM float64 // where the fall begins
	endMM float64 // where it ends
	brink float64 // score where the fall begins
}

// plateauFall is the part of the way from zero to the floor that is lost on the plateau. Our own melt model: 73 to 60 of
// 73 um.
const plateauFall = 0.18

// score is the score of the worst gap at a length.
func (c curve) score(mm float64) float64 {
	switch {
	case mm >= c.endMM:
		return c.floor
	case mm >= c.topMM:
		return c.brink + (c.floor-c.brink)*(mm-c.topMM)/(c.endMM-c.topMM)
	}
	return c.zero + (c.brink-c.zero)*mm/c.topMM
}

// slope falls evenly from no retraction on, and reaches the score at needMM.
func slope(zero, floor, score, needMM float64) curve {
	return curve{zero: zero, floor: floor, brink: zero, endMM: needMM * (zero - floor) / (zero - score)}
}

// cliff is a plateau, then a fall of widthMM that reaches the score at needMM.
func cliff(zero, floor, score, needMM, widthMM float64) curve {
	brink := math.Max(zero-plateauFall*(zero-floor), score+0.1)
	top := needMM - widthMM*(brink-score)/(brink-floor)
	if top <= 0 {
		return slope(zero, floor, score, needMM)
	}
	return curve{zero: zero, floor: floor, brink: brink, topMM: top, endMM: top + widthMM}
}

// An idea is a curve with the length that it would need, and how likely it is before anything was seen.
type idea struct {
	curve
	need   int // steps; above the scale's top it is not reached; damp ones have none
	damp   bool
	weight float64
}

var (
	zeros      = [...]float64{2, 2.7, 3.4, 4.2}
	floors     = [...]float64{0, 0.6, 1.1}
	dampFloors = [...]float64{1.9, 2.4, 3, 3.8}
	widthsMM   = [...]float64{0.25, 0.5, 0.8, 1.2}
)

// ideas are all hypotheses about a machine, weighed by prior.
func ideas(s Start, sc scale) []idea {
	p := priorOf(s, sc)
	list := make([]idea, 0, 12000)
	for need, weight := range p.need {
		if need > 0 && weight > 0 {
			list = appendNeed(list, s, sc, need, weight/float64(len(zeros)*len(floors)))
		}
	}
	return appendDamp(list, s, p.damp)
}

// appendNeed adds the curves that reach sufficient at one length.
func appendNeed(list []idea, s Start, sc scale, need int, weight float64) []idea {
	mm, even, each := sc.at(need), slopeWeight(s), (1-slopeWeight(s))/float64(len(widthsMM))
	for _, zero := range zeros {
		for _, floor := range floors {
			list = append(list, idea{slope(zero, floor, sufficientScore, mm), need, false, weight * even})
			for _, width := range widthsMM {
				list = append(list, idea{cliff(zero, floor, sufficientScore, mm, width), need, false, weight * each})
			}
		}
	}
	return list
}

// levelPart is how much of the way to the ceiling damp strings may still change on. What falls beyond that falls at the
// ceiling too, and is not reached instead.
const levelPart = 0.8

// appendDamp adds the curves that level off above sufficient. Where they do matters little: a coarse grid of places.
func appendDamp(list []idea, s Start, weight float64) []idea {
	from, places := len(list), 8
	for place := 1; place <= places; place++ {
		levelMM := levelPart * s.CeilingMM * float64(place) / float64(places)
		for _, zero := range zeros {
			for _, floor := range dampFloors {
				list = appendLevelling(list, math.Max(zero, floor+0.1), floor, levelMM, slopeWeight(s))
			}
		}
	}
	sum := 0.0
	for _, d := range list[from:] {
		sum += d.weight
	}
	for i := range list[from:] {
		list[from+i].weight *= weight / sum
	}
	return list
}

// appendLevelling adds an even fall to a floor and a cliff to it, both ending at levelMM.
func appendLevelling(list []idea, zero, floor, levelMM, even float64) []idea {
	slope := curve{zero: zero, floor: floor, brink: zero, endMM: levelMM}
	cliff := curve{zero: zero, floor: floor, brink: zero - plateauFall*(zero-floor), topMM: levelMM * 2 / 3, endMM: levelMM}
	return append(list, idea{slope, 0, true, even}, idea{cliff, 0, true, 1 - even})
}
