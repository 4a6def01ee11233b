package standin

import (
	"math/rand/v2"
	"time"
)

// oftenBeforeOK: one ok in so many has a remark before it, where the board makes any.
const oftenBeforeOK = 8

// remarksMade are what a talkative board says. None of them says anything about the line in hand, and some look as if
// they did.
var remarksMade = [...]string{
	"// a remark", "echo:a remark", "echo: three dots ...", "//", "// ok", "// T:300.0 /0.0", "// M92 E1.00", "echo:fan at 0 %",
}

// chatter is what a board says for no reason. It goes on over resets, so that no two begin alike.
type chatter struct {
	rng *rand.Rand
	at  time.Duration // of the next remark
}

// newChatter belongs to a board that makes remarks; the zero chatter to one that does not.
func newChatter(seed uint64) chatter { return chatter{rng: rand.New(rand.NewPCG(seed, 0xc4a77e2))} }

func (c *chatter) next() string { return remarksMade[c.rng.IntN(len(remarksMade))] }

// after chooses when the next remark comes.
func (c *chatter) after(now, mean time.Duration) {
	c.at = now + 1 + time.Duration(c.rng.Int64N(2*int64(mean)))
}

// interject makes a remark between a line and its ok, now and then.
func (f *Firmware) interject() {
	if f.profile.RemarksEvery > 0 && f.chatter.rng.IntN(oftenBeforeOK) == 0 {
		f.remark(f.chatter.next())
	}
}
