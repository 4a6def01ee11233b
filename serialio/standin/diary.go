package standin

// kept is how many obeyed blocks are remembered.
const kept = 4096

// Obeyed is one block that was obeyed.
type Obeyed struct {
	Number   int64
	Numbered bool
	Block    string // without its frame
}

// diary is for whoever watches a test; the printer itself never looks into it.
type diary struct {
	ring    []Obeyed
	total   int
	moves   int
	resets  int
	refused int
	lost    int
}

func (d *diary) note(h heard) {
	o := Obeyed{h.number, h.numbered, h.block.text}
	if d.ring == nil {
		d.ring = make([]Obeyed, 0, 64)
	}
	if len(d.ring) < kept {
		d.ring = append(d.ring, o)
	} else {
		d.ring[d.total%kept] = o
	}
	d.total++
}

// obeyed is the ring, oldest first.
func (d *diary) obeyed() []Obeyed {
	first := 0
	if len(d.ring) == kept {
		first = d.total % kept
	}
	return append(append(make([]Obeyed, 0, len(d.ring)), d.ring[first:]...), d.ring[:first]...)
}
