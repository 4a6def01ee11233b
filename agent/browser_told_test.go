package main

import (
	"slices"
	"time"
)

// playedStates are told in the shapes of openapi.yaml; all that is in them is invented.
func playedStates() []playedState {
	return slices.Concat(sentStates(), checkedStates(), lineTold())
}

// sentStates are a program on its way, standing still, and broken off.
func sentStates() []playedState {
	hot := thing{"nozzle": thing{"c": 209.6, "target_c": 210, "age_s": 1, "outdated": false}, "bed": thing{"c": 60, "target_c": 60, "age_s": 1, "outdated": false}}
	at := thing{"lines": 2310, "of_lines": 5000, "bytes": 50820, "of_bytes": 110000, "left_s": 480}
	goOn := thing{"number": 7, "name": "runner: go on", "figure": "go_on", "text": "Go on?", "reason": "It stands still at a line's end; the rest is sent from there.",
		"fields": []thing{{"name": "go_on", "kind": "yes", "must": true, "label": "Go on"}}, "shown": at, "asked": time.Now().Format(time.RFC3339)}
	warm := over(over(thing{}, goOn), thing{"cools_at": time.Now().Add(8 * time.Minute).Format(time.RFC3339), "warning": []string{cautionWords}})
	cooled := []thing{{"kind": "asked", "name": "runner: go on", "question": 7}, {"kind": "cooled"}}
	broken := func(name string, unsure int) []thing {
		return []thing{{"kind": "streamed", "name": "broken off", "body": over(thing{"unsure": unsure, "lines": 2310, "of_lines": 5000}, nil)}, {"kind": "run ended", "name": name, "who": "Ana's phone"}}
	}
	return []playedState{
		{name: "streaming begun", hash: "#/runs/r1", head: "Sending lines.", run: thing{"doing": thing{"what": "streaming", "of_lines": 5000, "of_bytes": 110000}}},
		{name: "streaming", hash: "#/runs/r1", head: "Sending the program.", printer: hot, run: thing{"routine": "piece", "doing": over(thing{"what": "streaming"}, at)}},
		{name: "streaming long", hash: "#/runs/r1", head: "Sending lines.", run: thing{"doing": thing{"what": "streaming", "lines": 148201, "of_lines": 200000, "left_s": 7900}}},
		{name: "paused hot", hash: "#/runs/r1", head: "Go on?", whole: true, printer: hot, run: thing{"routine": "piece", "state": "asking", "question": warm}},
		{name: "paused", hash: "#/runs/r1", head: "Go on?", whole: true, run: thing{"state": "asking", "question": goOn}},
		{name: "paused went cold", hash: "#/runs/r1", head: "Go on?", whole: true, run: thing{"routine": "piece", "state": "asking", "question": goOn}, events: cooled},
		{name: "stopped in the middle", hash: "#/runs/r1", head: "The check was stopped.", whole: true, run: thing{"state": "stopped"}, events: broken("stopped", 0)},
		{name: "interrupted in the middle", hash: "#/runs/r1", head: "The check was interrupted.", whole: true, run: thing{"state": "interrupted", "cause": "the port is gone"}, events: broken("interrupted", 12)},
		{name: "agent was killed in the middle", hash: "#/runs/r1", head: "The check was interrupted.", whole: true, run: thing{"state": "interrupted", "cause": "the agent was away while the printer worked"},
			events: []thing{{"kind": "streaming", "body": at}, {"kind": "run ended", "name": "interrupted"}}},
	}
}

const cautionWords = "Warning. Keep hands, hair and sleeves out of the machine. It can start to move without a sound."

// checkedStates are what a cable check asks for and finds.
func checkedStates() []playedState {
	found := func(kind, headline, reason string, again, rate, slowest float64, notes ...string) thing {
		value := func(name, unit string, v float64) thing { return thing{"name": name, "unit": unit, "value": v} }
		return thing{"state": "finished", "finding": thing{"kind": kind, "headline": headline, "reason": reason, "notes": notes,
			"values": []thing{value("lines", "1", 5000), value("lines_per_s", "1/s", rate), value("slowest_ms", "ms", slowest), value("sent_again", "1", again), value("asked_after", "1", 2), value("garbled", "1", 4)}}}
	}
	whole := []thing{{"kind": "streamed", "name": "whole", "body": thing{"lines": 5000, "of_lines": 5000}}, {"kind": "run ended", "name": "finished"}}
	return []playedState{
		{name: "cable check", hash: "#/begin/window/cable_check", head: "Does each line arrive?", whole: true, then: func(l *look) {
			l.phone.tapNamed(".link", "Another number")
			l.at("played cable check, how many", headed("How many lines?"), true)
		}},
		{name: "start with a cable check", hash: "#/printers/window", head: "Nothing is due on Window.", whole: true},
		{name: "cable fit", hash: "#/runs/r1", head: "The cable is fit", whole: true, events: whole,
			run: found("fit", "The cable is fit", "Every line arrived at once, and each was answered in time.", 0, 312, 41)},
		{name: "cable noisy", hash: "#/runs/r1", head: "The cable is noisy", whole: true, events: whole,
			run: found("noisy", "The cable is noisy", "23 of 5000 lines had to be sent again: a piece would stand still now and then.", 23, 190, 840, "Take a shorter, shielded cable.", "Lay it away from the motors' leads.", "Try another USB port.")},
		{name: "cable slow", hash: "#/runs/r1", head: "The line is slow", whole: true, events: whole,
			run: found("slow", "The line is slow", "It takes 38 lines each second; a curve of short lines needs more.", 1, 38.2, 210, "Set a higher speed of the line, at the printer and here.")},
	}
}

// lineTold are states of a line, and of what is plugged in.
func lineTold() []playedState {
	line := func(state, why, fault string) thing {
		return thing{"line": thing{"state": state, "why": why, "fault": fault, "since": time.Now().Format(time.RFC3339), "occupied": false}}
	}
	const group = "this user may not open the port: it belongs to group dialout, and user fettle is not in it; run: sudo usermod -aG dialout fettle   then log in again, or restart the service"
	const rule = `this user may not open the port: no udev rule gives it to a group of users: it belongs to group root with mode 0600; put this line into /etc/udev/rules.d/61-fettle.rules: SUBSYSTEM=="tty", ATTRS{idVendor}=="0f0f", ATTRS{idProduct}=="0017", GROUP="dialout", MODE="0660"   then run: sudo udevadm control --reload   and plug it in again`
	print := func(machine, firmware, uuid string) thing {
		return thing{"machine": machine, "firmware": firmware, "uuid": uuid}
	}
	ports := thing{"/v1/ports": thing{"changes": 3, "ports": []thing{
		{"name": "/dev/serial/by-id/usb-invented_bridge_0417", "device": "/dev/ttyUSB0", "by_id": "/dev/serial/by-id/usb-invented_bridge_0417", "by_path": "/dev/serial/by-path/pci-0000:00:14.0-usb-0:2:1.0",
			"vendor_id": "0f0f", "product_id": "0017", "vendor": "Invented Works", "product": "Serial bridge", "serial": "0417"},
		{"name": "/dev/serial/by-path/pci-0000:00:14.0-usb-0:3:1.0", "device": "/dev/ttyACM0", "by_path": "/dev/serial/by-path/pci-0000:00:14.0-usb-0:3:1.0", "vendor_id": "0f0f", "product_id": "0042"}}}}
	return []playedState{
		{name: "ports", hash: "#/ports", head: "Which one is the printer?", answers: ports, then: nameIt},
		{name: "rights by group", hash: "#/printers/window", head: "The agent may not open Window.", printer: line("unplugged", group, "")},
		{name: "rights by rule", hash: "#/printers/window", head: "The agent may not open Window.", printer: line("unplugged", rule, "")},
		{name: "heater fault", hash: "#/printers/window", head: "The printer stopped itself.", whole: true, printer: line("halted", "the printer stopped itself", "Error:Heating failed, system stopped! Heater_ID: 0")},
		{name: "another printer", hash: "#/printers/window", head: "Is this still Window?", whole: true, then: func(l *look) {
			l.phone.tapNamed(".link", "It is another one")
			l.at("played another printer, its own", headed("Then put Window back"), true)
		},
			printer: thing{"due": []string{"another_printer: another printer answers on this port"}, "another_printer": thing{"mark": "5f0c1d2e", "kept": print("Invented One", "4.2 of March", "0a0b-0c0d-0e0f"), "answers": print("Invented Two", "4.2 of May", "1a1b-1c1d-1e1f"), "text": ""}}},
	}
}

// nameIt goes from the list of lines to one that is named, at another speed, and to how it is opened.
func nameIt(l *look) {
	l.phone.tap(".choice")
	l.at("played port called", headed("What is it called?"), false)
	l.phone.tapNamed(".cell", "another")
	l.at("played port at another speed", headed("What is it called?")+" && document.querySelectorAll('input').length === 2", false)
	l.phone.tapNamed(".link", "How it is opened")
	l.at("played port opened", headed("How it is opened"), false)
}
