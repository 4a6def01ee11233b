package spool_test

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"fettle/routines"
	"fettle/routines/replay"
	"fettle/routines/spool"
)

// shown is what a page reads of a question.
type shown struct {
	Reading int       `json:"reading"`
	Place   int       `json:"place"`
	Places  int       `json:"places"`
	Square  bool      `json:"square"`
	AlongMM float64   `json:"along_mm"`
	ReadMM  []float64 `json:"read_mm"`
	Again   bool      `json:"again"`
	FirstMM float64   `json:"first_mm"`
	Slip    int       `json:"slip"`
}

func seen(q routines.Question) (s shown) {
	if err := json.Unmarshal(mustJSON(q.Shown), &s); err != nil {
		panic(err)
	}
	return s
}

func TestThePlacesAreWalkedInOrder(t *testing.T) {
	b := readings(even...)
	b.run(t, begin(t, fitted(1.75), `{}`))
	if len(b.questions) != 10 {
		t.Fatalf("%d questions", len(b.questions))
	}
	for i, q := range b.questions {
		s := seen(q)
		want := shown{Reading: i + 1, Place: i/2 + 1, Places: 5, Square: i%2 == 1, AlongMM: 500 * float64(i/2), ReadMM: even[:i]}
		if len(s.ReadMM) == 0 {
			s.ReadMM = even[:0]
		}
		ask := fmt.Sprintf("Place %d of 5: how wide is it?", want.Place)
		if want.Square {
			ask = fmt.Sprintf("Place %d of 5, a quarter turn on: how wide?", want.Place)
		}
		if !reflect.DeepEqual(s, want) || q.Text != ask || q.Name != fmt.Sprintf("reading %d", i+1) || len(q.Warning) > 0 {
			t.Errorf("%q %q %+v %q", q.Name, q.Text, s, q.Warning)
		}
	}
}

// A slip anywhere is asked for again, once, and both readings stay; the question behind it says so at once.
func TestASlipIsNamedAndReadAgain(t *testing.T) {
	for at := range even {
		for _, slipMM := range []float64{1.47, 1.57, 1.90, 2.10} {
			wrong := slices.Clone(even)
			wrong[at] = slipMM
			b := &bench{}
			b.read = func(q routines.Question) float64 {
				if s := seen(q); s.Again {
					return even[s.Reading-1]
				}
				return wrong[seen(q).Reading-1]
			}
			f := b.run(t, begin(t, fitted(1.75), `{}`))
			_, said := b.entry(t)
			last := b.questions[len(b.questions)-1]
			if len(b.questions) != 11 || last.Name != fmt.Sprintf("reading %d, again", at+1) || seen(last).FirstMM != slipMM || f.Kind != spool.Found {
				t.Fatalf("%g at %d: %d questions, %q, %s", slipMM, at+1, len(b.questions), last.Name, f.Headline)
			}
			if !reflect.DeepEqual(said.ReadMM, even) || len(said.Again) != 1 || said.Again[0].FirstMM != slipMM || said.Again[0].Reading != at+1 || len(said.Strays) > 0 {
				t.Errorf("%g at %d: kept %+v", slipMM, at+1, said)
			}
			if notes := strings.Join(f.Notes, " "); !strings.Contains(notes, fmt.Sprintf("Reading %d was %g", at+1, slipMM)) {
				t.Errorf("%g at %d: %q", slipMM, at+1, notes)
			}
			if at > 3 && at < 9 && (seen(b.questions[at+1]).Slip != at+1 || !strings.Contains(strings.Join(b.questions[at+1].Warning, " "), "take it back")) {
				t.Errorf("%g at %d: nobody was told at once: %q", slipMM, at+1, b.questions[at+1].Warning)
			}
		}
	}
}

// A place that really is thick stays as it was read, twice, and the finding names it.
func TestWhatIsThereTwiceCounts(t *testing.T) {
	thick := slices.Clone(even)
	thick[4] = 1.9
	b := atItsPlace(thick)
	f := b.run(t, begin(t, fitted(1.75), `{}`))
	_, said := b.entry(t)
	if len(b.questions) != 11 || !reflect.DeepEqual(said.ReadMM, thick) || !reflect.DeepEqual(said.Strays, []int{5}) || !strings.Contains(strings.Join(f.Notes, " "), "counts like them") {
		t.Errorf("%+v %q", said, f.Notes)
	}
}

// Where many readings differ that is the filament, and nobody is asked again.
func TestManyAreNoSlips(t *testing.T) {
	for _, readMM := range [][]float64{{1.60, 1.75, 1.90, 1.75}, {1.7, 1.7, 1.7, 1.9, 1.9, 1.9}, {1.60, 1.90, 1.60, 1.90}} {
		b := atItsPlace(readMM)
		b.run(t, begin(t, fitted(1.75), fmt.Sprintf(`{"readings":%d}`, len(readMM))))
		if len(b.questions) != len(readMM) {
			t.Errorf("%v: %d questions", readMM, len(b.questions))
		}
	}
}

// A second look is asked for by the question itself: the first readings against the setup, later ones against those before.
func TestUnlikelyIsFarFromWhatWasRead(t *testing.T) {
	b := readings(even...)
	b.run(t, begin(t, fitted(1.75), `{}`))
	first, sixth := b.questions[0].Derived.Unlikely, b.questions[5].Derived.Unlikely
	if first != [2]float64{1.575, 1.925} {
		t.Errorf("at first %v", first)
	}
	if sixth[0] < 1.67 || sixth[0] > 1.69 || sixth[1] < 1.81 || sixth[1] > 1.83 {
		t.Errorf("at the sixth %v", sixth)
	}
}

func TestARunIsItsOwnFacts(t *testing.T) {
	wrong := slices.Clone(even)
	wrong[6] = 1.47
	o, b := begin(t, fitted(1.75), `{}`), atItsPlace(wrong)
	finding := b.run(t, o)
	replay.EveryPrefix(t, spool.Diameter(), o, b.facts, finding)
}
