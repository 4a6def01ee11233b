// The words of what is sent line by line: a program on its way, its pause, the cable check; and of the lines that carry it.

export const SENT = Object.freeze({
  'about.moments': 'some seconds',
  'pause': 'Pause', 'pausing': 'Pausing', 'and': 'and',
  'stream.is': 'Sending the program.', 'stream.isCable': 'Sending lines.', 'stream.why': 'Stay in the room. Pause lets it finish the line that it is at.', 'stream.cable': 'Each line says a speed and no way to go: nothing moves and nothing heats.',
  'goOn.nozzle': 'the nozzle stays at {c}\u00a0°C', 'goOn.bed': 'the bed stays at {c}\u00a0°C', 'goOn.until': '{what} until {at}.', 'goOn.hot': '{what}.', 'goOn.cold': 'Nothing is heated.',
  'stream.title': 'How far the program has come', 'stream.desc': '{lines} of {of} lines are sent. {left}', 'stream.sofar': 'How far the program came', 'stream.sofar2': '{lines} lines, {below}.',
  'stream.lines': 'lines', 'stream.of': 'of {of}', 'stream.left': '{left} left', 'stream.unsure': 'the last {n} not certain', 'stream.unsure1': 'the last one not certain',

  'stream.atLeast': 'It came at least so far: nobody was there to count the rest.', 'stream.allSure': 'Each of these {n} lines was obeyed.', 'stream.notSure': 'Of the last {n} lines it is not certain that they were obeyed.', 'stream.notSure1': 'Of the last line it is not certain that it was obeyed.',
  'past.cable': 'Cable check', 'past.sent': 'sent', 'past.goOn': 'went on', 'record.cable': 'cable check',

  'wire.taken': '{n} lines of a program, each taken',

  'cable.head': 'cable check', 'cable.link': 'Check the cable', 'cable.begin': 'Does each line arrive?', 'cable.begin2': 'Many short lines are sent, as a piece has them. Nothing moves and nothing heats.', 'cable.lines': 'Lines', 'cable.go': 'Send {n} lines', 'cable.go0': 'Send them', 'cable.other': 'Another number', 'cable.many': 'How many lines?', 'cable.many2': 'The more are sent, the rarer a fault that shows.', 'cable.way': 'Send the lines',
  'cable.title': 'Lines sent, and those that were sent again', 'cable.unit': 'lines sent again', 'cable.unit1': 'line sent again', 'cable.of': 'of {of}', 'cable.again': '{n} of {of} sent again', 'cable.perS': 'lines/s', 'cable.rate': '{n}\u00a0lines/s', 'cable.slowest': 'slowest answer {ms}\u00a0ms',

  'another': 'Is this still {name}?', 'another.why': 'It calls itself otherwise than before. Until you say which it is, it is asked questions and told nothing.', 'another.kept': 'Known here as', 'another.answers': 'It now says', 'another.nothing': 'nothing of itself', 'another.same': 'It is the same printer', 'another.is': 'It is another one',
  'another.own': 'Then put {name} back on this line.', 'another.own2': 'It is known again by what it says. The other one goes into another socket and becomes a printer there.', 'another.ports': 'Make a port a printer',

  'port.vendor': 'maker', 'port.product': 'product', 'port.number': 'serial', 'port.id': 'ids', 'port.byId': 'by id', 'port.byPath': 'by place', 'port.device': 'device', 'port.otherSpeed': 'another', 'port.how': 'How it is opened', 'port.how2': 'Leave both raised unless its board must not restart when the line is opened; a short pulse comes all the same.', 'port.dtr': 'DTR raised', 'port.rts': 'RTS raised', 'port.so': 'Open it so',
  'ended.fault': 'The printer stopped itself.', 'fault.rights': 'The agent may not open {name}.', 'fault.rights2': 'The system gives this line to others. What follows gives it to the agent as well.',
  'fault.away': 'The temperature went where it was not told to: a sensor or a heater may be loose.', 'fault.failed': 'It was heated, and the temperature did not follow: a sensor or a heater may be loose.', 'fault.low': 'A sensor reads colder than can be: it may be loose or broken.', 'fault.high': 'A sensor reads hotter than may be.', 'fault.bed': 'Its bed is at fault.', 'fault.heat': 'It found a fault in its heating.',
  'fault.before': 'It obeys nothing until it is switched off and on. Find the cause before you heat again.', 'fault.before0': 'Find the cause before you go on.',
});
