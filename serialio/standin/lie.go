package standin

// Lie is a way to misbehave. What it does for good ends with the next reset.
type Lie string

// Lying is a lie and its chance, 0 to 1, at each of its occasions: a line that could be obeyed, one that is refused, an
// ok, a temperature report, or a quarter of a second that the board is awake.
type Lying struct {
	Lie    Lie
	Chance float64
}

// About a numbered line that could be obeyed.
const (
	Silent           Lie = "silent"             // obeys from now on without a word, for good
	Hang             Lie = "hang"               // obeys nothing and says nothing, for good; heat and queued moves go on
	Slow             Lie = "slow"               // 0.1 to 1.9 s pass before it is obeyed
	SlowAlive        Lie = "slow but alive"     // 20 to 90 s do, with "busy" lines where the profile has any
	OKEarly          Lie = "ok early"           // the ok comes first; readings that it should carry come behind
	Echo             Lie = "echo"               // the line is said back as it came, and obeyed
	ResendForNothing Lie = "resend for nothing" // refused as if its checksum were wrong
	ResendBare       Lie = "resend bare"        // the same without an error line
	ResendGarbled    Lie = "resend garbled"     // the same, and the number in it cannot be read, or is another
	ResendStorm      Lie = "resend storm"       // every numbered line is, for good, and 20 times a second without one
)

// About a line that is refused.
const (
	RefusalUnsaid Lie = "refusal unsaid" // not a word about it
)

// About an ok.
const (
	OKLost         Lie = "ok lost"       // none, nor the readings in it
	OKDoubled      Lie = "ok doubled"    // two
	OKOlder        Lie = "ok older"      // it names a line before: "ok N11"
	OKBehindReport Lie = "ok behind"     // glued to the end of a temperature report
	OKBeforeReport Lie = "ok before"     // a report is glued to its end
	OKSplit        Lie = "ok split"      // 50 to 800 ms pass in the middle of it
	OKUnended      Lie = "ok unended"    // without its line end: it melts with whatever comes next
	ReplyDamaged   Lie = "reply damaged" // one byte of it is another, or is lost
	ResendOld      Lie = "resend old"    // a line that was obeyed is asked for again; its number is still taken
	ResendFuture   Lie = "resend future" // a line that was never sent is asked for
)

// About the nozzle in a temperature report.
const (
	ReadingNaN    Lie = "reading nan"    // no number
	ReadingJumped Lie = "reading jumped" // 40 to 150 C off, this once
	ReadingFrozen Lie = "reading frozen" // the same from now on, for good
)

// Of its own accord.
const (
	Restart       Lie = "restart"        // it really resets, and greets as its profile does
	BannerAlone   Lie = "banner alone"   // it greets, and nothing else has happened
	CounterBack   Lie = "counter back"   // the next line has to be number 1
	TargetChanged Lie = "target changed" // the nozzle really heats to something else, or not at all
	FaultReported Lie = "fault reported" // a heater fault: it says so, switches heat off, and halts
	OwnError      Lie = "own error"      // an error that is no fault of the host's, and stops nothing
	UnknownText   Lie = "unknown text"   // a line that means nothing
	BinaryNoise   Lie = "binary noise"   // up to 40 random bytes, and a line end
	Flood         Lie = "flood"          // a line of 1 MiB, a kilobyte each 10 ms
	OKForNothing  Lie = "ok for nothing" // nobody asked
)
