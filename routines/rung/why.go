package rung

import "fmt"

// why is the sentence that a phone shows under a choice.
func (b belief) why(n Next, prints int) string {
	return fmt.Sprintf("Between %.2f and %.2f mm, most likely %.2f mm.", n.LowMM, n.HighMM, n.ValueMM)
}
