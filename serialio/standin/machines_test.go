package standin

import (
	"reflect"
	"testing"
)

func TestMachinesAreTheSameForTheSameSeedAndOfEveryKind(t *testing.T) {
	all := Machines(5, 400)
	if !reflect.DeepEqual(all, Machines(5, 400)) || reflect.DeepEqual(all[0], Machines(6, 1)[0]) {
		t.Error("the seed does not decide")
	}
	type kind struct {
		tube     bool
		material string
	}
	served, damp, none := map[kind]int{}, 0, 0
	for _, p := range all {
		s := StringsOf(p, Crossing{})
		mm, ok := s.SufficientMM()
		switch {
		case ok && p.SlackMM == 0 && (mm < 0.4 || mm > 2), ok && p.SlackMM > 0 && (mm < 1.5 || mm > 8):
			t.Errorf("%s asks for %v mm", p.Name, mm)
		case ok:
			served[kind{p.SlackMM > 0, p.Material.Name}]++
		default:
			none++
		}
		if p.Damp {
			damp++
		}
	}
	for _, m := range Materials() {
		for _, tube := range []bool{false, true} {
			if n := served[kind{tube, m.Name}]; n < 15 && (tube || m.Name != Flexible().Name) {
				t.Errorf("%d machines with %s, tube %v, have a sufficient length", n, m.Name, tube)
			}
		}
	}
	if damp < 10 || none < damp || none > 120 {
		t.Errorf("%d of 400 damp, %d without a sufficient length", damp, none)
	}
}
