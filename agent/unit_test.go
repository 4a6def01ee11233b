package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// unit reads the directives of the service file.
func unit(t *testing.T) map[string][]string {
	t.Helper()
	text, err := os.ReadFile("../systemd/fettle.service")
	if err != nil {
		t.Fatal(err)
	}
	found := map[string][]string{}
	for line := range strings.Lines(string(text)) {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' || line[0] == '[' {
			continue
		}
		name, value, ok := strings.Cut(line, "=")
		if !ok {
			t.Errorf("no directive: %q", line)
		}
		found[name] = append(found[name], value)
	}
	return found
}

// The unit's variables are settings, with values that are accepted, and its commands are subcommands.
func TestTheUnitFitsTheProgram(t *testing.T) {
	u := unit(t)
	if len(u["Environment"]) == 0 {
		t.Error("the unit sets nothing")
	}
	for _, line := range u["Environment"] {
		name, value, _ := strings.Cut(line, "=")
		if !slices.Contains(settingNames(), name) {
			t.Errorf("%s is no setting", name)
		}
		t.Setenv(name, value)
	}
	s, err := readSettings()
	if err != nil {
		t.Error(err)
	}
	if want := filepath.Join("/var/lib", u["StateDirectory"][0]); s.Data != want {
		t.Errorf("the logbook lives in %s, the unit's folder is %s", s.Data, want)
	}
	for directive, want := range map[string]string{"ExecStart": "", "ExecStopPost": "cool"} {
		if len(u[directive]) != 1 {
			t.Fatalf("%s stands there %d times", directive, len(u[directive]))
		}
		words := strings.Fields(u[directive][0])
		c, _, err := commandOf(words[1:])
		if err != nil || c.name != want || words[0] != "/usr/bin/fettle" {
			t.Errorf("%s runs %q: %v", directive, words, err)
		}
	}
}

// What the unit must have: its folder is its own, the serial ports are there and no other device, nothing of the network
// beyond the neighbours. The list is that of the exposure score of systemd.exec(5) and systemd.resource-control(5).
func TestTheUnitIsHardened(t *testing.T) {
	u := unit(t)
	for name, want := range map[string][]string{
		"Type": {"exec"}, "Restart": {"always"}, "StateDirectoryMode": {"0700"}, "UMask": {"0077"}, "SupplementaryGroups": {"dialout"},
		"DevicePolicy": {"closed"}, "DeviceAllow": {"char-ttyUSB rw", "char-ttyACM rw"}, "IPAddressDeny": {"any"},
		"IPAddressAllow":        {"localhost", "link-local", "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "fc00::/7"},
		"CapabilityBoundingSet": {""}, "NoNewPrivileges": {"yes"}, "ProtectSystem": {"strict"}, "ProtectHome": {"yes"}, "PrivateTmp": {"yes"},
		"PrivateMounts": {"yes"}, "PrivateUsers": {"yes"}, "ProtectClock": {"yes"}, "ProtectHostname": {"yes"}, "ProtectKernelTunables": {"yes"},
		"ProtectKernelModules": {"yes"}, "ProtectKernelLogs": {"yes"}, "ProtectControlGroups": {"yes"}, "ProtectProc": {"invisible"},
		"ProcSubset": {"pid"}, "RestrictNamespaces": {"yes"}, "RestrictRealtime": {"yes"}, "RestrictSUIDSGID": {"yes"}, "LockPersonality": {"yes"},
		"MemoryDenyWriteExecute": {"yes"}, "SystemCallFilter": {"@system-service", "~@privileged @resources"}, "PrivateDevices": nil, "MemoryMax": {"192M"}, "TasksMax": {"64"},
	} {
		if !slices.Equal(u[name], want) {
			t.Errorf("%s is %q, want %q", name, u[name], want)
		}
	}
}

// The README's table of settings is what the program reads, in its order, with units and defaults.
func TestTheREADMEListsTheSettings(t *testing.T) {
	text, err := os.ReadFile("../README.md")
	if err != nil {
		t.Fatal(err)
	}
	var named []string
	for line := range strings.Lines(string(text)) {
		cells := strings.Split(line, "|")
		if len(cells) < 5 || !strings.Contains(cells[1], "`FETTLE_") {
			continue
		}
		name, unit, value := strings.Trim(cells[1], " `"), strings.TrimSpace(cells[2]), strings.Trim(cells[3], " `")
		named = append(named, name)
		said := described()
		if _, after, ok := strings.Cut(said, "  "+name+" "); !ok || !strings.Contains(strings.SplitN(after, "\n", 3)[1], "unit: "+unit+"; default: "+value) {
			t.Errorf("help does not say of %s that its unit is %s and its default %s", name, unit, value)
		}
	}
	if !slices.Equal(named, settingNames()) {
		t.Errorf("the README lists %q, there are %q", named, settingNames())
	}
	for _, c := range commands() {
		if c.name != "" && c.name != "help" && !strings.Contains(string(text), "agent "+c.name) {
			t.Errorf("the README does not say what agent %s is", c.name)
		}
	}
}
