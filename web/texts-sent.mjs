// The words of what is sent line by line: a program on its way, its pause, the cable check; and of the lines that carry it.

export const SENT = Object.freeze({
  'about.moments': 'some seconds',
  'stream.title': 'How far the program has come', 'stream.desc': '{lines} of {of} lines are sent. {left}', 'stream.sofar': 'How far the program came', 'stream.sofar2': '{lines} lines, {below}.',
  'stream.lines': 'lines', 'stream.of': 'of {of}', 'stream.left': '{left} left', 'stream.unsure': 'the last {n} not certain', 'stream.unsure1': 'the last one not certain',

  'cable.title': 'Lines sent, and those that were sent again', 'cable.unit': 'lines sent again', 'cable.unit1': 'line sent again', 'cable.of': 'of {of}', 'cable.again': '{n} of {of} sent again', 'cable.perS': 'lines/s', 'cable.rate': '{n}\u00a0lines/s', 'cable.slowest': 'slowest answer {ms}\u00a0ms',
});
