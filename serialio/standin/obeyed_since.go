package standin

// ObeyedSince appends to into the blocks that were obeyed after the first n, oldest first, and tells how many there have
// been in all. Of those that are no longer remembered it gives none. It is what a Snapshot says, without a copy of all the
// rest, for whoever looks at every word that a board says.
func (f *Firmware) ObeyedSince(n int, into []Obeyed) (since []Obeyed, total int) {
	d := &f.diary
	for i := max(n, d.total-len(d.ring), 0); i < d.total; i++ {
		into = append(into, d.ring[i%kept])
	}
	return into, d.total
}

// Resets is how often the board has begun anew since the power came on.
func (f *Firmware) Resets() int { return f.diary.resets }
