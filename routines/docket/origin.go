package docket

import "fmt"

// origin says where an entry's value came from.
func (f fold) origin(k kind, e Entry) Origin {
	at := e.At
	o := Origin{Entry: e.ID, Run: e.Run, Who: e.Who, At: &at}
	body := bodyOf(e)
	switch {
	case e.Run != "" && e.Kind == kindCheck:
		o.Source, o.How = Measured, "found right by run "+e.Run
	case e.Run != "" && k.measured:
		o.Source, o.How = Measured, "measured by run "+e.Run
	case e.Run != "":
		o.Source, o.How = Held, "held in run "+e.Run
	case body.How == Reverted:
		o.Source, o.How = Reverted, fmt.Sprintf("reverted to entry %d by %s", body.Of, someone(e.Who))
	default:
		o.Source, o.How = Typed, "typed by a person"
	}
	return o
}

func someone(who string) string {
	if who == "" {
		return "somebody"
	}
	return who
}
