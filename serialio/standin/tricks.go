package standin

// tricks are all lies that can be told.
var tricks = [...]trick{
	{Silent, atLine, goSilent},
	{Hang, atLine, hang},
	{Slow, atLine, beSlow},
	{SlowAlive, atLine, beVerySlow},
	{OKEarly, atLine, okEarly},
	{Echo, atLine, sayBack},
	{ResendForNothing, atLine, refuseForNothing},
	{ResendBare, atLine, refuseBarely},
	{ResendGarbled, atLine, refuseGarbled},
	{ResendStorm, atLine, beginStorm},

	{RefusalUnsaid, atRefusal, refuseSilently},

	{OKLost, atOK, loseOK},
	{OKDoubled, atOK, doubleOK},
	{OKOlder, atOK, olderOK},
	{OKBehindReport, atOK, reportThenOK},
	{OKBeforeReport, atOK, okThenReport},
	{OKSplit, atOK, splitOK},
	{OKUnended, atOK, unendOK},
	{ReplyDamaged, atOK, damageOK},
	{ResendOld, atOK, askForOld},
	{ResendFuture, atOK, askForFuture},

	{ReadingNaN, atReading, readNaN},
	{ReadingJumped, atReading, readJumped},
	{ReadingFrozen, atReading, readFrozen},

	{Restart, atWill, restartItself},
	{BannerAlone, atWill, greetForNothing},
	{CounterBack, atWill, countBack},
	{TargetChanged, atWill, changeTarget},
	{FaultReported, atWill, reportFault},
	{OwnError, atWill, sayOneOf("Error:Door sensor does not answer", "Error:Card is missing", "Error:Fan 2 turns slowly")},
	{UnknownText, atWill, sayOneOf("hello", "0x1f 0x20", "okay then", "<idle>", "Resends: none", "T", "ok?")},
	{BinaryNoise, atWill, sayNoise},
	{Flood, atWill, flood},
	{OKForNothing, atWill, sayOneOf("ok")},
}
