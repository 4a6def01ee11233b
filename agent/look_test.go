package main

import (
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"testing"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/routines/piece"
	"fettle/serialio/standin"
)

// printed is a stand-in with the first bands of a piece on its bed.
func printed(t *testing.T, bands int) dry {
	t.Helper()
	p, err := piece.Plan(ofStandIn(piece.Length, stairs(0.1, 0.1)))
	if err != nil {
		t.Fatal(err)
	}
	d := newDry(t, standin.InventedDirect())
	d.took(p.Foot().Program)
	for i := range bands {
		d.took(p.Band(i).Program)
	}
	return d
}

func TestAnEyeGradesThePiece(t *testing.T) {
	bench := printed(t, 4).Bench()
	trained, _ := eyeNamed("eye")
	casual, _ := eyeNamed("casual_eye")
	at := pieceSeen{number: 1, sinceOn: 1}
	l := at.look(bench, 7, trained, false)
	if len(l.Bands) != 4 || l.Piece != 1 || l.Crashed || l.Damp {
		t.Fatalf("saw %+v", l)
	}
	var gaps []float64
	for _, g := range l.Bands[3].Gaps {
		gaps = append(gaps, g.MM)
		if g.ThreadUM != nil {
			t.Error("it tells what is truly there, unasked")
		}
	}
	if !slices.Equal(gaps, []float64{6, 9, 14, 22}) {
		t.Errorf("graded are gaps of %v mm, not those between posts", gaps)
	}
	if l.Answer["d_gap_22_mm"] != l.Bands[3].Gaps[3].Grade || l.Answer["a_grade"] != l.Bands[0].Grade || l.Answer["b_voids"] != false {
		t.Errorf("the answer is %v", l.Answer)
	}
	same := func(a, b lookedAtPiece) bool { return fmt.Sprint(a.Answer) == fmt.Sprint(b.Answer) }
	if !same(l, at.look(bench, 7, trained, true)) {
		t.Error("the same eye sees otherwise at the second look")
	}
	others := 0
	for n := range uint64(10) {
		if !same(l, pieceSeen{number: 1, sinceOn: 2 + n}.look(bench, 7, trained, false)) {
			others++
		}
	}
	if others == 0 || same(l, at.look(bench, 7, casual, false)) {
		t.Errorf("%d of 10 other looks differ; the casual eye sees what the trained one does", others)
	}
	if um := at.look(bench, 7, trained, true).Bands[0].Gaps[2].ThreadUM; um == nil || *um < 25 {
		t.Error("truth was asked for, and is not told")
	}
}

func TestThePersonDoesWhatIsAnswered(t *testing.T) {
	d := printed(t, 2)
	var p bystander
	event := func(kind, name string, body any) {
		raw, _ := json.Marshal(body)
		p.follow(d.Bench(), logbook.Event{Kind: kind, Name: name, Body: raw})
	}
	before, _ := d.Bench().TrueSufficientMM(standin.Crossing{})
	event("run begun", "retraction_ladder", routines.Begin{Material: inventedMaterials[1]})
	if after, _ := d.Bench().TrueSufficientMM(standin.Crossing{NozzleC: inventedMaterials[1].NozzleC}); after <= before {
		t.Errorf("%g mm suffice with one material, and %g with one that strings more: none was loaded", before, after)
	}
	for _, answered := range []struct{ name, next string }{{"piece 2", "later"}, {"grades 2", "print"}} {
		event("answered", answered.name, map[string]string{"next": answered.next})
	}
	if len(d.Bench().LookAtPiece(0).Bands) != 2 {
		t.Error("the piece was taken off before the next was wanted")
	}
	event("answered", "piece 2", map[string]string{"next": "print"})
	if left := d.Bench().LookAtPiece(0); len(left.Bands) != 0 || p.piece.number != 2 || p.piece.sinceOn != 1 {
		t.Errorf("%d bands are left; %+v", len(left.Bands), p)
	}
}

func TestWhatCannotBeLookedAt(t *testing.T) {
	d := startDemo(t, hurry)
	for path, status := range map[string]int{
		"?gauge=caliper": 200, "?printer=bench&gauge=caliper": 200, "?printer=bench&gauge=eye": 200, "?printer=window&gauge=casual_eye&truth=1": 200,
		"?gauge=mm_rule": 200, "?gauge=vernier_caliper": 200, "?gauge=digital_caliper": 200, "?gauge=own": 400,
		"": 400, "?gauge=nose": 400, "?printer=oven&gauge=eye": 400, "?gauge=eye&truth=maybe": 400,
	} {
		if got, body, err := d.try(http.MethodGet, "/v1/demo/look"+path, nil); err != nil || got != status {
			t.Errorf("%s: %d %s %v, want %d", path, got, body, err, status)
		}
	}
}
