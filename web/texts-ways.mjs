// The words of the ways to measure a feed, by place.

export const WAYS = Object.freeze({
  // Begin: which way, with what.
  'ways.inlet': 'One mark at the inlet', 'ways.two_flags': 'Two flags', 'ways.several_lengths': 'Several lengths against one mark', 'ways.cold': 'Cold', 'ways.tube_end': 'A piece cut at the tube’s end',
  'good.inlet': 'The usual check: a pen and a rule will do.', 'good.two_flags': 'About twice as sure: only short ways are read at the inlet.', 'good.several_lengths': 'Shows slip and a misread mark; takes longer.', 'good.cold': 'One mark and no heat; the path below the gear must be open.', 'good.tube_end': 'Surer with each pass; needs a caliper, and the tube comes off.',
  'ways.other': 'Another way', 'ways.q': 'How do you measure it?', 'ways.why': 'Each way has its own order, and leads through it.', 'ways.what': '{heat}, {length}\u00a0mm fed slowly, {passes}.',
  'own.first': 'Say how fine it is', 'own.is': 'Your gauge: {division}\u00a0mm', 'own.q': 'How fine is your gauge?', 'own.why': 'What it can show, and how far it may be off by its maker. It is asked once.',
  'way.flags': 'Set two flags', 'way.near flag': 'Read the near flag', 'way.far flag': 'Read the far flag', 'way.feeds': 'Feed and read, by turns', 'way.path': 'Open the path', 'way.unload': 'Pull the filament back', 'way.cool': 'Let it cool', 'way.coupler': 'Undo the coupler', 'way.cut': 'Cut it flush', 'way.piece': 'Measure the piece',
});
