package ladder

import "fettle/routines/docket"

func feedProved(d docket.Docket) (bool, string) {
	if r := d.Row(docket.StepsPerMM); r != nil && r.Fresh {
		return true, ""
	} else if r == nil || r.Value == nil {
		return false, "never"
	} else {
		return false, r.Stale[0].Text
	}
}
