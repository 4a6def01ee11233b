package feed

import (
	"fmt"
	"strings"

	"fettle/routines"
	"fettle/serialio/gcode"
)

// What the questions after the passes are answered with.
type (
	anotherAnswer struct {
		Another bool `json:"another"`
	}
	differsAnswer struct {
		Unsaved string `json:"unsaved"`
	}
	applyAnswer struct {
		Apply string `json:"apply"`
	}
	verifyAnswer struct {
		Verify bool `json:"verify"`
	}
)

// What may become of settings that are in use but not stored, since storing one value stores them all.
const (
	keepUnsaved = "keep_unsaved"
	saveToo     = "save_too"
	writeNone   = "write_none"
)

// What may become of the new value.
const (
	write    = "write"
	leaveOld = "leave"
)

// shownFinding are the numbers that the finding's figure is drawn from.
type shownFinding struct {
	CommandedMM      float64  `json:"commanded_mm"`
	FedMM            float64  `json:"fed_mm"`
	FedU95MM         float64  `json:"fed_u95_mm"`
	OldStepsPerMM    *float64 `json:"old_steps_per_mm,omitempty"`
	NewStepsPerMM    *float64 `json:"new_steps_per_mm,omitempty"`
	NewU95StepsPerMM *float64 `json:"new_u95_steps_per_mm,omitempty"`
	TolerancePercent float64  `json:"tolerance_percent"`
	Passes           int      `json:"passes"`

	TargetPercent   float64 `json:"target_percent,omitempty"`
	U95Percent      float64 `json:"u95_percent,omitempty"`
	PassesToTarget  int     `json:"passes_to_target,omitempty"`  // in all
	FloorU95Percent float64 `json:"floor_u95_percent,omitempty"` // more passes stop helping here
	ChangesOf100    float64 `json:"changes_of_100,omitempty"`    // in how many cases one more would change the finding
	Largest         string  `json:"largest_part,omitempty"`      // of the budget
	LargestCommon   bool    `json:"largest_is_common,omitempty"` // the same in every pass
	Better          *better `json:"better_method,omitempty"`     // worth it, by the budget
}

type shownDifferences struct {
	Differences []gcode.Difference `json:"differences"`
}

// askAnother is asked where the passes do not decide, and where they do but not yet as surely as was wanted.
func (c *check) askAnother(n int, v verdict) routines.Question {
	q := routines.Question{
		Name: fmt.Sprintf("another %d", n), Figure: "cannot_tell",
		Text:   "Cannot tell yet. Another pass?",
		Reason: c.cannotTellReason(v) + " " + c.outlook(v),
		Fields: []routines.Field{{Name: "another", Label: "Another pass", Kind: routines.Yes}},
		Shown:  c.shownFinding(v),
	}
	if v.Kind != CannotTell {
		q.Figure, q.Text, q.Reason = "enough", "Not yet as sure as you wanted. Another pass?", v.Enough.note(v)
	}
	return q
}

func askDiffers(differences []gcode.Difference) routines.Question {
	words := make([]string, len(differences))
	var lost, warning []string
	for i, d := range differences {
		words[i] = d.Word + " " + d.Letter
		if d.Lost {
			lost = append(lost, words[i])
		}
	}
	if len(lost) > 0 {
		warning = []string{fmt.Sprintf("Notice. What was in use of %s went when the stored settings were loaded to compare: no word of ours sets it again.", strings.Join(lost, ", "))}
	}
	return routines.Question{
		Name: "differs", Figure: "differs", Warning: warning,
		Text:   fmt.Sprintf("Some settings are in use but not stored: %s. What becomes of them?", strings.Join(words, ", ")),
		Reason: "The printer stores all it has in use at once, and not only the value that is changed.",
		Fields: []routines.Field{{Name: "unsaved", Label: "The other settings", Kind: routines.Choice, Choices: []routines.Option{
			{Value: keepUnsaved, Label: "Keep them in use, unsaved"},
			{Value: saveToo, Label: "Save them too"},
			{Value: writeNone, Label: "Write nothing"},
		}}},
		Shown: shownDifferences{Differences: differences},
	}
}

func (c *check) askApply(v verdict, next float64) routines.Question {
	return routines.Question{
		Name: "apply", Figure: "finding",
		Text:    fmt.Sprintf("Change it to %s?", steps(next)),
		Reason:  c.changeReason(v),
		Warning: c.doubts(v),
		Fields: []routines.Field{{Name: "apply", Label: "Steps/mm", Kind: routines.Choice, Choices: []routines.Option{
			{Value: write, Label: fmt.Sprintf("Write %s to the printer, then the logbook", steps(next))},
			{Value: leaveOld, Label: fmt.Sprintf("Leave it at %s", steps(*c.oldSteps))},
		}}},
		Shown: c.shownFinding(v),
	}
}

func (c *check) askVerify(next float64) routines.Question {
	return routines.Question{
		Name: "verify", Figure: "verify",
		Text:   fmt.Sprintf("One more pass, with %s?", steps(next)),
		Reason: "It shows whether the new value feeds what is commanded, within what was measured.",
		Fields: []routines.Field{{Name: "verify", Label: "A pass with the new value", Kind: routines.Yes}},
		Shown:  shown{CommandedMM: c.in.CommandedMM, MarkMM: c.markMM, Gauge: c.work.Gauge.Name},
	}
}

func (c *check) shownFinding(v verdict) shownFinding {
	s := shownFinding{CommandedMM: c.in.CommandedMM, FedMM: round(v.FedMM), FedU95MM: round(v.Budget.U95),
		OldStepsPerMM: c.oldSteps, TolerancePercent: tolerancePercent, Passes: v.Work.Passes}
	if e := v.Enough; e.TargetPercent > 0 {
		s.TargetPercent, s.U95Percent, s.PassesToTarget = e.TargetPercent, round(v.U95Percent), e.ToTarget
		s.FloorU95Percent, s.ChangesOf100, s.Largest, s.LargestCommon = round(e.FloorPercent), e.Changes, e.Largest.Name, e.Largest.Common
	}
	if b, worth := c.betterMethod(v); worth {
		b.U95Percent = round(b.U95Percent)
		s.Better = &b
	}
	if next, u95, ok := c.newSteps(v); ok {
		s.NewStepsPerMM, s.NewU95StepsPerMM = &next, &u95
	}
	return s
}

// newSteps is the value that follows from a verdict, with its expanded uncertainty: relatively that of the fed length.
func (c *check) newSteps(v verdict) (next, u95 float64, ok bool) {
	if c.oldSteps == nil || v.FedMM <= 0 || v.Bounded {
		return 0, 0, false
	}
	next = writable(NewStepsPerMM(*c.oldSteps, c.in.CommandedMM, v.FedMM))
	return next, writable(v.Budget.Times(next/v.FedMM, "steps/mm").U95), true
}
