package main

import (
	"bytes"
	"context"
	"strings"
	"testing"
)

func TestAWrongSettingIsNamedWithWhatIsAccepted(t *testing.T) {
	for _, c := range []struct{ name, value, says string }{
		{"FETTLE_LISTEN", "0.0.0.0:7340", "a loopback address and a port"},
		{"FETTLE_LISTEN", "192.168.1.7:7340", "a loopback address and a port"},
		{"FETTLE_LISTEN", "7340", "a loopback or private address and a port"},
		{"FETTLE_LISTEN", "8.8.8.8:7340", "a loopback or private address and a port"},
		{"FETTLE_LISTEN", "127.0.0.1:70000", "a loopback or private address and a port"},
		{"FETTLE_NAMES", "printers.lan,http://x", "without a port"},
		{"FETTLE_NAMES", "printers.lan:80", "without a port"},
		{"FETTLE_STOP_OPEN", "perhaps", "true or false, such as true"},
		{"FETTLE_TLS", "on", "off, own, or files"},
		{"FETTLE_TLS", "files", "FETTLE_TLS_CERT and FETTLE_TLS_KEY"},
		{"FETTLE_TLS_CERT", "cert.pem", "off, own, or files"},
		{"FETTLE_LOG_LEVEL", "loud", "debug, info, warn or error"},
		{"FETTLE_SILENCE", "soon", "duration, such as 5s"},
		{"FETTLE_SILENCE", "10ms", "1s to 1m0s"},
		{"FETTLE_ATTENDED_LIMIT", "1h", "2m0s to 30m0s"},
		{"FETTLE_SPEEDUP", "quick", "factor, such as 10"},
		{"FETTLE_SPEEDUP", "0", "1 to 100"},
		{"FETTLE_SPEEDUP", "NaN", "1 to 100"},
		{"FETTLE_LISTENS", "127.0.0.1:1", "FETTLE_LISTEN, FETTLE_NAMES"},
	} {
		t.Run(c.name+"="+c.value, func(t *testing.T) {
			t.Setenv(c.name, c.value)
			var out, errs bytes.Buffer
			if code := run(context.Background(), []string{"demo"}, &out, &errs); code != exitSetting {
				t.Errorf("exit code %d, want %d", code, exitSetting)
			}
			if said := errs.String(); !strings.Contains(said, c.name) || !strings.Contains(said, c.says) {
				t.Errorf("said %q; want it to name %s and %q", said, c.name, c.says)
			}
		})
	}
}

func TestHelpListsEverySettingWithUnitAndDefault(t *testing.T) {
	var out, errs bytes.Buffer
	if code := run(context.Background(), []string{"help"}, &out, &errs); code != exitFine {
		t.Fatalf("exit code %d: %s", code, errs.String())
	}
	for _, want := range append(settingNames(), "unit: duration; default: 5s", "unit: host:port; default: 127.0.0.1:7340", "agent demo") {
		if !strings.Contains(out.String(), want) {
			t.Errorf("help does not say %q", want)
		}
	}
}

func TestAnUnknownCommandIsNamed(t *testing.T) {
	var out, errs bytes.Buffer
	if code := run(context.Background(), []string{"print"}, &out, &errs); code != exitSetting || !strings.Contains(errs.String(), `"print"`) {
		t.Errorf("exit code %d: %s", code, errs.String())
	}
}
