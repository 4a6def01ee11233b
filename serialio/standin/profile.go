package standin

import (
	"slices"
	"strings"
	"time"
)

// Profile chooses which printer stands in. The zero value of a field takes the default of Invented, except for the
// switches, which are off. All numbers are invented.
type Profile struct {
	Name string // FIRMWARE_NAME of M115

	// What the board does on its own.
	ResetsOnOpen bool          // a host that opens the line resets it
	Greets       bool          // says "start" and a few lines after a reset; otherwise nothing until asked
	BootTime     time.Duration // deaf for so long after a reset; below 0: not at all
	BusyEvery    time.Duration // "busy" while a line takes long; below 0: never
	Deaf999      bool          // a halted board does not hear M999, only its reset

	// How it talks.
	RefusesOddM110  bool       // M110 must carry the number that is due, as any other line
	ShortResend     bool       // "rs N12" instead of "Resend: 12"
	NoResendOK      bool       // no ok behind a Resend
	ResendTwice     bool       // says each Resend twice
	OKFields        bool       // "ok N3 P15 B3" instead of "ok"
	GluedOK         bool       // "okT:20.5 /0.0": no blank between ok and readings
	ReadingsFirst   bool       // readings on a line of their own, and the ok behind them
	Slash           string     // between a reading and its target: " /", or "/", or " / "
	Tools           int        // those beyond the first are cold, and never in use; "T0:" and "T1:" where there are more
	ToolInUse       bool       // where there are more: "T:" as well
	ToolSettings    bool       // M503 says the steps of each tool on a line of its own: "M92 T0 E93.00"
	BareSettings    bool       // M503 without "echo:" and without comments
	BareBusy        bool       // "busy: processing" without "echo:"
	CRLF            bool       // each line ends in a carriage return and a line feed
	NoEmergency     bool       // M108, M112 and M410 wait for their turn
	UnknownWords    []string   // answered as unknown, and left out of M503: {"M92", "M500"}
	StoresNothing   bool       // M500 and M501 answer an error
	ReceiveBytes    int        // receive buffer; what does not fit is lost
	PlannerMoves    int        // moves it can queue; an ok is given when a move is queued
	ToHost          Wire       // what the cable does to bytes on their way to the host; nil: nothing
	FromHost        Wire       // and to those from the host
	MinExtrudeC     float64    // below it the gear does not turn, until M302 says otherwise
	StepsPerMM      [4]float64 // X Y Z E of M92, as configured
	MaxFeedMMPerS   [4]float64 // of M203
	MaxAccelMMPerS2 [4]float64 // of M201

	// What it says without being asked, and how haltingly.
	ReportsEvery time.Duration // temperatures from the start, until M155 says otherwise; 0: not
	RemarksEvery time.Duration // remarks at random, so far apart on the average, and before some oks; 0: none
	WaitsAloud   bool          // "wait" each second that no line is in hand
	LongestPause time.Duration // bytes come in pieces, with pauses of up to so long between; 0: lines come whole

	// How it lies.
	Lies []Lying // of those at one occasion, at most one at a time; drawn in this order

	// What is really there.
	TrueStepsPerMM float64    // steps that push 1 mm of filament
	PlayMM         float64    // gear play, taken up after each reversal; lies open at first
	FlowLimit      float64    // mm3/s at 210 C at which 2 % slips
	FilamentMM     float64    // diameter
	UnevenMM       float64    // how much it differs from place to place, a standard deviation; below 0: not at all
	OvalMM         float64    // how much wider it is one way than square to it; below 0: not at all
	Damp           bool       // the strand pops and bubbles
	Reversed       bool       // the drive turns the wrong way
	HeaterBroken   bool       // the nozzle's heater gives no heat
	PathOpen       bool       // nothing below the gear: filament feeds freely, cold too
	AmbientC       float64    // temperature of the room
	HeadMM         [3]float64 // where the head stands when the power comes on, from home
	ZHomeMM        [2]float64 // X and Y at which Z is homed; both 0: where the head happens to be

	// What strings depend on (melt.go).
	SlackMM        float64  // between gear and nozzle, crossed first by each reversal; a tube has some mm
	SpringMM       float64  // filament squeezed together while 4 mm3/s flow
	EmptiesS       float64  // that pressure halves in so long where the nozzle hangs free
	OozeShare      float64  // of what oozes over open air that ends in the thread
	RestartLackMM3 float64  // missing at each restart, whatever the length
	Material       Material // that is loaded

	Seed uint64 // of the scatter in what a person reads, and of all else that is random
}

// Invented is the printer of the demo: direct drive, 93.00 steps/mm configured where 94.512 are true, so that of
// 100 mm commanded 98.4 arrive. It resets and greets when the line is opened.
func Invented() Profile {
	p := Profile{ResetsOnOpen: true, Greets: true}
	p.fill()
	return p
}

// fill gives every field its default where nothing was chosen.
func (p *Profile) fill() {
	or(&p.Name, "Invented stand-in (no real firmware)")
	or(&p.BootTime, 1500*time.Millisecond)
	or(&p.BusyEvery, 2*time.Second)
	or(&p.Slash, " /")
	or(&p.Tools, 1)
	or(&p.ReceiveBytes, 128)
	or(&p.PlannerMoves, 16)
	or(&p.MinExtrudeC, 170)
	or(&p.StepsPerMM, [4]float64{80, 80, 400, 93})
	or(&p.MaxFeedMMPerS, [4]float64{300, 300, 8, 60})
	or(&p.MaxAccelMMPerS2, [4]float64{2000, 2000, 100, 5000})
	or(&p.TrueStepsPerMM, 94.512)
	or(&p.PlayMM, 0.4)
	or(&p.FlowLimit, 9)
	or(&p.FilamentMM, 1.75)
	or(&p.UnevenMM, 0.008)
	or(&p.OvalMM, 0.02)
	or(&p.AmbientC, 20.5)
	or(&p.HeadMM, [3]float64{80, 60, 12})
	or(&p.SpringMM, 0.85)
	or(&p.EmptiesS, 0.25)
	or(&p.OozeShare, 0.05)
	or(&p.Material, Stiff())
}

func or[T comparable](field *T, otherwise T) {
	var zero T
	if *field == zero {
		*field = otherwise
	}
}

// knows also takes a word with its tool: "M92 T1".
func (p *Profile) knows(word string) bool {
	if len(p.UnknownWords) == 0 {
		return true
	}
	word, _, _ = strings.Cut(word, " ")
	return !slices.Contains(p.UnknownWords, word)
}
