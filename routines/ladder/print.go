package ladder

import (
	"context"
	"encoding/json"
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"

	"fettle/routines"
	"fettle/routines/piece"
	"fettle/serialio/gcode"
)

// wanted is a piece that is to be printed, and why.
type wanted struct {
	values     []float64
	confirming bool
	low, high  float64 // what is believed, or the slowest and fastest band
	left       float64 // pieces likely to remain, this one among them
	why        string
}

// What a person answers to a piece.
const (
	printIt = "print"
	later   = "later"
)

// print asks for a bed that is empty, prints a piece and has it graded. again is false where the person wants to go on later.
func (l *ladder) print(w wanted) (again bool, err error) {
	w.values = l.ordered(w.values)
	p, err := piece.Plan(l.spec(w.values))
	if err != nil {
		return false, fmt.Errorf("plan the piece: %w", err)
	}
	l.pieces++
	b := pieceBody{Ladder: l.kind, Piece: l.pieces, Values: w.values, Confirming: w.confirming, Held: l.held, Limits: l.limits, Drawing: p.Drawing(),
		FilamentM: hundredths(p.Whole().FilamentMM / 1000), Afresh: l.in.Afresh && l.pieces == 1, Program: l.program()}
	answer, err := routines.Ask[struct {
		Next string `json:"next"`
	}](l.Run, l.askPiece(w, b, p))
	if err != nil || answer.Next == later {
		return false, err
	}
	if err := l.Hot(routines.Heat{NozzleC: l.held.NozzleC, BedC: l.held.BedC}); err != nil {
		return false, err
	}
	if err := l.stream(b.Piece, "foot", p.Foot().Program); err != nil {
		return false, err
	}
	if err := l.note(kindPiece, b); err != nil {
		return false, err
	}
	for i := range piece.Bands {
		letter := piece.Letters[i : i+1]
		if err := l.stream(b.Piece, "band "+letter, p.Band(i).Program); err != nil {
			return false, err
		}
		if err := l.note(kindBand, bandBody{l.kind, b.Piece, letter}); err != nil {
			return false, err
		}
	}
	if err := l.stream(b.Piece, "end", p.End().Program); err != nil {
		return false, err
	}
	if err := l.Hot(routines.Heat{}); err != nil {
		return false, err
	}
	return true, l.grade(unjudged{pieceBody: b, whole: piece.Bands})
}

// ordered gives the values to the bands. Lengths stand in no order that a person could expect anything from, and in the same
// one at each replay: it follows from what the run began with. Speeds climb from the bottom: where a fast one shifts layers or
// knocks a post, the slow ones stand already.
func (l *ladder) ordered(values []float64) []float64 {
	if l.kind == piece.Travel {
		return values
	}
	seed := fnv.New64a()
	fmt.Fprint(seed, l.Material.ID, l.Setup.Version, l.kind, l.pieces, len(l.Records))
	rng := rand.New(rand.NewPCG(seed.Sum64(), 8))
	out := slices.Clone(values)
	rng.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}

// stream prints a part of a piece. Each is an act of its own, so that the bands that were whole are on record whatever
// happens to the next.
func (l *ladder) stream(n int, part string, p gcode.Program) error {
	_, err := routines.Act(l.Run, fmt.Sprintf("piece %d %s", n, part), routines.Moves, func(ctx context.Context, to routines.Printer) (routines.Streamed, error) {
		return to.Stream(ctx, p)
	})
	return err
}

// shownHeld is one number that is held, as the page shows it.
type shownHeld struct {
	Label string  `json:"label"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
}

func (l *ladder) shownHeld() []shownHeld {
	h := l.spec(make([]float64, piece.Bands)).Held
	list := []shownHeld{{"Nozzle", l.held.NozzleC, "°C"}, {"Bed", l.held.BedC, "°C"}, {"Speed of printing", h.PrintMMPerS, "mm/s"}, {"Retract speed", h.RetractMMPerS, "mm/s"},
		{"Restart speed", h.RestartMMPerS, "mm/s"}, {"Fan", h.FanPercent, "%"}, {"Line width", h.LineWidthMM, "mm"}, {"Layer", h.LayerMM, "mm"},
		{"Flow", hundredths(h.LineWidthMM * h.LayerMM * h.PrintMMPerS), "mm³/s"}}
	if l.kind == piece.Travel {
		return append(list, shownHeld{"Retraction", h.RetractMM, "mm"})
	}
	return append(list, shownHeld{"Travel", h.TravelMMPerS, "mm/s"})
}

// askPiece asks for a bed that is empty. It says nothing of which band has which value.
func (l *ladder) askPiece(w wanted, b pieceBody, p *piece.Piece) routines.Question {
	text := fmt.Sprintf("Print piece %d?", b.Piece)
	if w.confirming {
		text = fmt.Sprintf("Print piece %d, the one that confirms?", b.Piece)
	}
	return routines.Question{Name: fmt.Sprintf("piece %d", b.Piece), Figure: "piece", Text: text, Reason: w.why,
		Warning: []string{"Warning. Is the bed empty, and the last piece off? Homing into it breaks things.",
			"Caution. Axes free, cable and filament clear? It homes first, and then prints for about " + fmt.Sprintf("%.0f", math.Ceil(p.Whole().All.Lasts.Minutes())) + " minutes. Stay with it."},
		Fields: []routines.Field{{Name: "next", Label: "Next", Kind: routines.Choice,
			Choices: []routines.Option{{Value: printIt, Label: "The bed is empty: print it"}, {Value: later, Label: "Later"}}}},
		Shown: map[string]any{"ladder": l.kind, "piece": b.Piece, "confirming": w.confirming, "drawing": b.Drawing, "low": w.low, "high": w.high, "unit": l.unit(),
			"prints_left": hundredths(w.left), "minutes": hundredths(p.Whole().All.Lasts.Minutes()), "filament_m": b.FilamentM, "bands": piece.Bands, "held": l.shownHeld()}}
}

func (l *ladder) unit() string {
	if l.kind == piece.Travel {
		return "mm/s"
	}
	return "mm"
}

func (l *ladder) program() string {
	if l.kind == piece.Travel {
		return travelProgram
	}
	return lengthProgram
}

// note records what a ladder is made of.
func (l *ladder) note(kind string, v any) error {
	raw, err := json.Marshal(v)
	if err != nil {
		return fmt.Errorf("print the record %s: %w", kind, err)
	}
	l.Record(routines.Entry{Kind: kind, Body: raw})
	return nil
}
