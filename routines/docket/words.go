package docket

// settingWords names a setting and its unit, as the open dialect of these printers has them (from memory).
func settingWords(n Number) (label, unit string) {
	switch n.Word + n.Letter {
	case "M200D":
		return "Filament diameter", "mm"
	case "M92E":
		return "Steps/mm", "steps/mm"
	case "M204P", "M204S":
		return "Acceleration of printing", "mm/s²"
	case "M204R":
		return "Acceleration of retracting", "mm/s²"
	case "M204T":
		return "Acceleration of travelling", "mm/s²"
	case "M207S":
		return "Retraction length", "mm"
	case "M207F":
		return "Retract speed", "mm/min"
	case "M207Z":
		return "Lift at a retraction", "mm"
	case "M208S":
		return "Restart surplus", "mm"
	case "M208F":
		return "Restart speed", "mm/min"
	}
	switch n.Word {
	case "M201":
		return "Highest acceleration of " + n.Letter, "mm/s²"
	case "M203":
		return "Highest speed of " + n.Letter, "mm/s"
	}
	return n.Word + " " + n.Letter, ""
}
