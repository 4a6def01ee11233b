// The words of the pages, by place. {name} is filled in; | parts a sentence round a number.

import {FITTED} from './texts-fitted.mjs';

export const SAID = Object.freeze({
  ...FITTED,
  'past': 'What has happened', 'future': 'What will come', 'more': 'More', 'printers': 'Printers', 'occupied': 'occupied',
  'back': 'Back', 'yes': 'Yes', 'no': 'No', 'notNow': 'Not now', 'takeBack': 'Take back', 'takeBack2': 'Take the last answer back', 'ago': '{age} ago',
  'fault': '{field} {detail}. Accepted: {accept}.',
  'head.silent': 'last heard {ago}', 'head.waiting': 'waiting for the agent',
  'switch.at': 'Use its own switch: {where}', 'switch.unknown': 'Use its own switch',
  'unknownQuestion': 'This page cannot draw the answer. Ask it by curl, or load the page anew.',

  'stop': 'Stop', 'halt': 'Halt', 'stop.cannot': 'Stop cannot reach it', 'stop.notHeard': 'Stop is not heard', 'stop.sent': 'Stop is sent on each second',
  'stop.asked': 'Stop was asked, not confirmed.', 'stop.asked2': 'Heaters off is sent again each second until the printer says so. Moves it already holds may still run.',
  'stop.twice': 'Target 0, by its own report', 'stop.kept': 'What was measured is kept', 'stop.switch': 'Switch {name} off: {where}.', 'stop.switch0': 'Switch {name} off at its own switch.', 'stop.switch2': 'It has said nothing for 10 s, and may be hot and still heating.',
  'heat.none': 'No reading', 'heat.none2': 'yet', 'heat.old': 'when last read', 'heat.of': 'of {target} at the nozzle', 'heat.off': 'nozzle, heater off',
  'read.old': 'when last read, {ago}.', 'read.now': 'at the nozzle, {ago}.', 'read.hot': 'It was being heated.',

  'gauge.caliper': 'caliper', 'gauge.rule': 'rule', 'pad': 'Number pad', 'pad.back': 'Take the last digit back', 'pad.point': 'Point',
  'entry.empty': 'Type it in {unit}, or drag the mark.', 'entry.above': 'That is above your mark: filament came out?', 'entry.most': 'At most {max}\u00a0{unit}: {why}.', 'entry.least': 'At least {min}\u00a0{unit}: {why}.',
  'entry.went': 'So |\u00a0went in.', 'entry.unlikely': 'So |\u00a0went in? Compare the drawing.',
  'entry.record0': 'Record', 'entry.record': 'Record {number}', 'entry.anyway': 'Record it anyway', 'entry.again': 'Measure again', 'entry.as': 'Marked at {number}', 'entry.other': 'My mark is elsewhere',

  'past.check': 'Feed check', 'past.begun': 'begun', 'past.again': 'New run', 'past.heat': 'Heat', 'past.cooled': 'off by itself', 'past.back': 'taken back', 'past.stop': 'Stop', 'past.away': 'the line or the agent went away', 'past.failed': 'failed',
  'past.air': 'Air', 'past.air2': 'below, and a cup', 'past.cautions': 'Cautions', 'past.read': 'read', 'past.hands': 'Hands', 'past.away2': 'away', 'past.marked': 'marked',
  'past.strand': 'Strand', 'past.smooth': 'smooth and silent', 'past.popping': 'popping or matt', 'past.write': 'Write it', 'past.leave': 'Leave it', 'past.chosen': 'chosen', 'past.answered': 'answered',
  'past.left': 'left over', 'past.mark': 'Mark', 'past.in': 'went in', 'past.out': 'filament came out', 'past.inUse': 'in use', 'past.feed': 'Feed', 'past.prevented': 'refused cold', 'past.play': 'play taken up', 'past.asked': 'asked for',
  'way.air': 'Air below', 'way.present': 'Cautions', 'way.heat': 'Heat it', 'way.pre-feed': 'Take up the play', 'way.mark': 'Mark the filament', 'way.feed': 'Feed', 'way.leftover': 'Measure what is left', 'way.finding': 'The finding', 'way.pen': 'pen',

  'aware.stay': 'I stay in the room', 'aware.stay2': 'Stay in the room', 'aware.nozzle': 'Understood', 'aware.nozzle2': 'The nozzle burns', 'aware.switch': 'I can reach its switch', 'aware.switch2': 'Its own switch', 'aware.smoke': 'I know where the plug is', 'aware.smoke2': 'Smoke', 'aware.liner': 'Understood', 'aware.liner2': 'The liner', 'aware.read': 'Read', 'aware.read2': 'Read',
  'aware.one': 'Show them one by one',

  'work.lost': '{what}, when last heard.', 'work.lost2': 'The agent is not heard. The printer may go on, and may be hot: stay with it.', 'work.line': 'Waiting for the line.', 'work.line2': 'It is {state}; nothing is sent until both count alike.', 'work.restoring': 'Giving back what was set aside.', 'work.restoring2': 'Multipliers and modes become what they were.', 'work.aside': 'Setting multipliers aside.', 'work.aside2': 'A factor in use would count as feed. It is given back at the end.',
  'work.moment': 'One moment.', 'work.moment2': 'The printer is asked.', 'work.of': 'of {of}', 'work.off': 'heater off', 'work.heating': 'Heating.', 'work.heating2': 'Cold filament would slip, and the feed would read short.',
  'work.cooling': 'Heater off.', 'work.cooling2': 'Plastic cooks while a person reads. The printer’s own report is awaited.', 'work.preFeed': 'Taking up the play.', 'work.preFeed2': 'Gear and melt come under load; nothing is counted yet.', 'work.notCounted': 'of {of}, not counted',
  'work.feeding': 'Feeding.', 'work.feeding2': 'Let the strand run free: a pull would count as feed.',

  'ended.finished': 'The check is finished.', 'ended.changed': 'Changed to {value}.', 'ended.unproved': 'Changed to {value}, not proved.', 'ended.notStored': '{value} is in use, not stored.', 'ended.left': 'Left at {value}.', 'ended.stopped': 'The check was stopped.', 'ended.interrupted': 'The check was interrupted.', 'ended.failed': 'The check failed.', 'ended.back': 'Back to the printer', 'ended.budget': 'What the ± is made of', 'ended.takeOver': 'A new run, from what was measured', 'ended.again': 'Begin it anew', 'ended.leave': 'Leave it', 'ended.kept': 'Taken over: {left} mm left over', 'ended.maybeHot': 'The printer may be hot and still heating.',
  'budget.most': 'Most of the ± is the {name}.', 'budget.none': 'The ± has no rows.', 'budget.shares': 'Lengths are shares of the whole, by their squares; together ±\u00a0{u95}\u00a0{unit}, as wide as 95 in 100.', 'budget.back': 'Back to the finding',
  'run.reading': 'Reading the record.', 'run.gone': 'There is no such run.', 'run.gone2': 'The record may be another one than before.', 'lost.first': '{who} said {answer} first.', 'lost.somebody': 'Somebody', 'lost.yours': 'Yours, {mine}, was not recorded.', 'lost.same': 'It is recorded; yours was not needed.', 'lost.recorded': 'is what is recorded.', 'lost.goOn': 'Go on with {answer}', 'lost.back': 'Take it back, measure again',

  'start.none': 'No printer yet.', 'start.none2': 'A printer is a serial port that you give a name.', 'start.waiting': 'Waiting for the agent.', 'start.waiting2': 'This page comes back by itself as soon as it is heard.', 'start.port': 'Make a port a printer',
  'start.running': 'A check is under way.', 'start.running2': 'It holds the printer until it ends.', 'start.toRun': 'Go to it', 'start.else': '{name} is at work for someone else.', 'start.else2': 'It is let alone: {what}.', 'start.elseWire': 'What it says',
  'start.unplugged': '{name} is unplugged.', 'start.unplugged2': 'Put its line back in: it is known again by its port.', 'start.notFound': 'It is in, and not found', 'start.greeting': 'Waiting for its greeting.', 'start.greeting2': 'The board may restart; it has some seconds to greet.', 'start.greeting3': 'nothing heard yet.',
  'start.halted': 'The printer stopped itself.', 'start.halted2': 'It obeys nothing now until it is switched off and on.', 'start.wake': 'Cause found: open it again', 'start.before': 'What it said before', 'start.lost': 'The count was lost.', 'start.lost2': 'A reply came damaged or not at all; nothing is sent on until both count alike.', 'start.count': 'Count anew',
  'due.setup': 'What is {name} fitted with?', 'due.setup2': 'Limits come from the setup; without one nothing heats or moves.', 'due.setup3': 'Say what it is fitted with', 'due.check': 'The feed check is due.', 'due.check2': 'On this printer: {why}.', 'due.check3': 'Begin the feed check', 'due.needs': 'With a rule or caliper, a fine pen, and something to catch a strand.', 'due.none': 'Nothing is due on {name}.', 'due.none2': 'A change of gear, nozzle, tube or spool asks for a new check.', 'due.again': 'Check the feed again',
  'quote.none': 'It gave no reason.', 'quote.own': 'its own words, {when}', 'record.steps': 'feed', 'record.check': 'went in, feed check', 'record.pass': 'went in', 'record.entry': 'entry {id}', 'record.held': '±\u00a0{u95}, entry {id}, {ago}.', 'record.standing': ' {standing}.',
  'foot.all': 'All printers', 'all': 'All printers.', 'all2': 'Each with the state of its line.', 'silent': 'silent', 'foot.logbook': 'Logbook', 'foot.wire': 'Wire', 'foot.setup': 'Setup', 'foot.materials': 'Materials', 'foot.add': 'Add a printer',

  'begin.head': 'feed check', 'begin.loaded': 'Is {material} loaded?', 'begin.none': 'Which filament is it?', 'begin.none2': 'Temperatures come from its maker’s data sheet.', 'begin.what': '{nozzle}\u00a0°C, {length}\u00a0mm fed slowly, {passes}.', 'begin.pass1': 'one pass', 'begin.passes': '{n} passes', 'begin.with': 'Begin with {material}', 'begin.other': 'Another filament', 'begin.change': 'Length, passes, temperature', 'begin.more': 'How is it to be done?', 'begin.more2': 'What is left as it is serves most printers.', 'begin.less': 'Back',
  'material.which': 'Which filament is loaded?', 'material.all': 'Materials.', 'material.reason': 'Temperatures are those of their makers’ data sheets.', 'material.add': 'Add a material', 'material.new': 'What does the data sheet say?', 'material.new2': 'The lower of its limits and the printer’s counts.', 'material.name': 'Name', 'material.nozzle': 'Nozzle, usual', 'material.min': 'Nozzle, least', 'material.max': 'Nozzle, most', 'material.bed': 'Bed', 'material.soft': 'Soft, like rubber', 'material.colour': 'Its colour, which these pages take on', 'material.store': 'Store it',
  'port.head': 'A new line', 'port.looking': 'looking', 'port.which': 'Which one is the printer?', 'port.which2': 'These lines are plugged in and not a printer yet. Nothing is opened by looking.', 'port.none': 'No free line is plugged in.', 'port.none2': 'Put the printer’s cable in and look again.', 'port.serial': 'serial {serial}', 'port.again': 'Look again', 'port.called': 'What is it called?', 'port.called2': 'Opening the line may restart its board: a print under way there would end.', 'port.name': 'Name, as people say it', 'port.baud': 'Speed of the line', 'port.baud2': 'baud', 'port.open': 'Open it as {name}', 'port.open0': 'Open it', 'port.other': 'Another line',
  'logbook.end': 'Nothing is edited here.', 'logbook.end2': 'A later entry takes the place of an earlier one.', 'logbook.empty': 'Nothing is recorded yet.', 'logbook.table': 'As a table (CSV)',
  'wire': 'Wire', 'wire.to': 'Wire to {name}', 'wire.out': 'to the printer', 'wire.in': 'from it', 'wire.quiet': 'Nothing was said yet.', 'wire.coil': '{n} heat readings, {low} to {high} °C', 'wire.coil0': '{n} heat readings',
  'pair.not': 'not paired', 'pair.code': 'Which code does the terminal show?', 'pair.code2': 'Nine digits in threes, once, within ten minutes.', 'pair.name': 'What this phone is called', 'pair.usual': 'a phone', 'pair.left': 'Look at the terminal again. {n} more tries, then the window shuts.', 'pair.do': 'Pair this phone', 'pair.plain': '{network} Stop works already, all else after pairing.',
});
