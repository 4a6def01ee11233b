package ladder

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"fettle/routines"
	"fettle/routines/piece"
)

// The five grades, by light and finger (common practice, no source), and the one for a band that cannot be judged.
var gradeOptions = []routines.Option{ // does not change
	{Value: "clean", Label: "Clean: nothing, even against light"},
	{Value: "hairs", Label: "Hairs: only against light, gone at one stroke of a finger"},
	{Value: "threads", Label: "Threads: seen at arm's length, break when touched"},
	{Value: "strings", Label: "Strings: bend before they break"},
	{Value: "web", Label: "Web"},
}

const notJudged = "not_judged"

// What spoils bands, from one on upward.
var spoilers = []routines.Option{ // does not change
	{Value: "none", Label: "Nothing"},
	{Value: "layers_shifted", Label: "Layers shifted"},
	{Value: "post_fell", Label: "A post fell"},
	{Value: "came_loose", Label: "It came loose"},
	{Value: "stopped_early", Label: "It stopped early"},
}

// grade has a piece judged, and keeps what was seen.
func (l *ladder) grade(u unjudged) error {
	raw, err := routines.Ask[json.RawMessage](l.Run, l.askGrades(u))
	if err != nil {
		return err
	}
	g, err := gradesOf(u, raw)
	if err != nil {
		return fmt.Errorf("read the grades of piece %d: %w", u.Piece, err)
	}
	l.past.judged = append(l.past.judged, g)
	return l.note(kindGrades, g)
}

// askGrades asks for each whole band by its letter. What it was printed with is not said.
func (l *ladder) askGrades(u unjudged) routines.Question {
	q := routines.Question{Name: fmt.Sprintf("grades %d", u.Piece), Figure: "grades", Text: "How does each band look?",
		Reason: "Dark cloth behind, lamp from the side, from A at the foot. What each was printed with is shown when all are graded.",
		Shown:  map[string]any{"ladder": u.Ladder, "piece": u.Piece, "drawing": u.Drawing, "whole_bands": u.whole}}
	for i := range u.whole {
		letter := piece.Letters[i : i+1]
		prefix := strings.ToLower(letter)
		q.Fields = append(q.Fields, routines.Field{Name: prefix + "_grade", Label: "Band " + letter, Kind: routines.Choice,
			Choices: append(slices.Clone(gradeOptions), routines.Option{Value: notJudged, Label: "Cannot be judged"})})
		for _, gap := range u.Drawing.Gaps {
			q.Fields = append(q.Fields, routines.Field{Name: gapName(prefix, gap.WideMM), Label: fmt.Sprintf("Band %s, gap of %g mm", letter, gap.WideMM),
				Kind: routines.Choice, Choices: gradeOptions, Optional: true})
		}
		q.Fields = append(q.Fields, routines.Field{Name: prefix + "_voids", Label: "Band " + letter + ", voids at restart", Kind: routines.Yes, Default: false})
	}
	for _, f := range []struct{ name, label string }{{"clicking", "The drive clicked"}, {"ground", "The filament was ground"}, {"clogged", "The nozzle clogged"}} {
		q.Fields = append(q.Fields, routines.Field{Name: f.name, Label: f.label, Kind: routines.Yes, Default: false})
	}
	from := routines.Field{Name: "spoiled_from", Label: "From band", Kind: routines.Choice, Optional: true}
	for i := range u.whole {
		from.Choices = append(from.Choices, routines.Option{Value: strings.ToLower(piece.Letters[i : i+1]), Label: piece.Letters[i : i+1]})
	}
	q.Fields = append(q.Fields, routines.Field{Name: "spoiled", Label: "What spoiled it", Kind: routines.Choice, Choices: spoilers, Default: "none"}, from)
	return q
}

func gapName(prefix string, wideMM float64) string {
	return fmt.Sprintf("%s_gap_%g_mm", prefix, wideMM)
}

// gradesOf reads an answer. From a band that was spoiled on upward nothing is judged.
func gradesOf(u unjudged, raw json.RawMessage) (gradesBody, error) {
	var given map[string]any
	if err := json.Unmarshal(raw, &given); err != nil {
		return gradesBody{}, err
	}
	yes := func(name string) bool { v, _ := given[name].(bool); return v }
	word := func(name string) string { v, _ := given[name].(string); return v }
	g := gradesBody{Ladder: u.Ladder, Piece: u.Piece, Confirming: u.Confirming, Held: u.Held,
		Clicking: yes("clicking"), Ground: yes("ground"), Clogged: yes("clogged")}
	if s := word("spoiled"); s != "none" {
		g.Spoiled = s
	}
	spoiledFrom := len(piece.Letters)
	if g.Spoiled != "" {
		spoiledFrom = max(0, strings.Index(strings.ToLower(piece.Letters), word("spoiled_from"))) // not said from where: all of it
		g.From = piece.Letters[spoiledFrom : spoiledFrom+1]
	}
	for i, value := range u.Values {
		prefix := strings.ToLower(piece.Letters[i : i+1])
		b := bandSeen{Letter: piece.Letters[i : i+1], Value: value}
		if grade, ok := gradeNamed(word(prefix + "_grade")); ok && i < u.whole && i < spoiledFrom {
			b.Grade, b.Voids = &grade, yes(prefix+"_voids")
			for _, gap := range u.Drawing.Gaps {
				if grade, ok := gradeNamed(word(gapName(prefix, gap.WideMM))); ok {
					b.Gaps = append(b.Gaps, gapSeen{gap.WideMM, grade})
				}
			}
		}
		g.Bands = append(g.Bands, b)
	}
	return g, nil
}

func gradeNamed(name string) (int, bool) {
	i := slices.IndexFunc(gradeOptions, func(o routines.Option) bool { return o.Value == name })
	return i, i >= 0
}
