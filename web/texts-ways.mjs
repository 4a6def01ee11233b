// The words of the ways to measure a feed, by place.

export const WAYS = Object.freeze({
  // Begin: which way, with what.
  'ways.inlet': 'One mark at the inlet', 'ways.two_flags': 'Two flags', 'ways.several_lengths': 'Several lengths, one mark', 'ways.cold': 'Cold', 'ways.tube_end': 'A piece cut at the tube’s end',
  'good.inlet': 'The usual check: a pen and a rule will do.', 'good.two_flags': 'About twice as sure: only short ways are read.', 'good.several_lengths': 'Shows slip and a misread mark; takes longer.', 'good.cold': 'No heat; the path below the gear must be open.', 'good.tube_end': 'Surer with each pass; by caliper, with the tube off.',
  'ways.other': 'Another way', 'ways.q': 'How do you measure it?', 'ways.why': 'Each way has its own order, and leads through it.', 'ways.what': '{heat}, {length}\u00a0mm fed slowly, {passes}.',
  'own.first': 'Say how fine it is', 'own.is': 'Your gauge: {division}\u00a0mm', 'own.q': 'How fine is your gauge?', 'own.why': 'What it can show, and how far it may be off by its maker. It is asked once.',
  'way.flags': 'Set two flags', 'way.near flag': 'Read the near flag', 'way.far flag': 'Read the far flag', 'way.feeds': 'Feed and read, by turns', 'way.path': 'Open the path', 'way.unload': 'Pull the filament back', 'way.cool': 'Let it cool', 'way.coupler': 'Undo the coupler', 'way.cut': 'Cut it flush', 'way.piece': 'Measure the piece', 'way.out': 'Bring the filament out',

  // The figures.
  'lengths.title': 'The mark above the inlet, after each length', 'lengths.sofar': 'Read before: {read} mm.',
  'far_flag.title': 'The far flag above the inlet, to scale', 'far_flag.desc': 'The far flag was {was} mm above the inlet. Nothing is entered yet.', 'far_flag.desc2': 'The far flag was {was} mm above the inlet; now it is {left} mm above it.',
  'flags.title': 'Two flags of tape on the filament', 'flags.desc': 'The near flag is about {near} mm above the inlet, the far one about {apart} mm above that.', 'flags.desc2': 'The near flag is about {near} mm above the inlet, the far one {apart} mm above that.',
  'near_flag.title': 'The near flag above the inlet, drawn close', 'near_flag.desc': 'The near flag is some millimetres above the inlet. Nothing is entered yet.', 'near_flag.desc2': 'The near flag is {near} mm above the inlet.',
  'unload.title': 'The lever at the gear is open, and the filament goes back', 'unload.desc': 'Pulled back by {pull} mm.', 'unload.below': 'back and up, slowly',
  'coupler.title': 'The tube hangs free beside its hot end', 'coupler.desc': 'The nozzle reads {c} °C.', 'coupler.below': 'at the nozzle',
  'cut.title': 'A blade flat on the face of the tube', 'cut.desc': 'What was fed so far, {cut} mm, is cut off and not counted.', 'cut.below': 'What was fed so far, {cut} mm, falls off and is not counted.', 'cut.below0': 'What falls off is not counted.',
  'cut_piece.title': 'The piece between its two cuts, to scale', 'cut_piece.desc': 'Nothing is entered yet.', 'cut_piece.desc2': 'The piece is {long} mm long.',
  'path.title': 'Gear and idler, with an open path below them', 'path.desc': '{out} mm of cold filament will come out below the gear.', 'path.below': 'of cold filament come out below the gear',
  'enough.title': 'What another pass would change', 'enough.nothing': 'Nothing is foreseen.', 'enough.now1': 'now, one pass: {u95}', 'enough.now': 'now, {n} passes: {u95}', 'enough.then': '{n} passes in all: {u95}', 'enough.ever': 'never below {u95}', 'enough.target': 'the target, ± {target} %',
  'residuals.title': 'How far each reading lies off the line of all', 'residuals.one': 'at {at} mm {off} mm', 'residuals.nothing': 'No readings are on record.', 'residuals.stray': 'stray, {off}', 'residuals.curved': 'they bend away',

  // Questions.
  'flags.empty': 'Type it in mm, or drag the far flag.', 'near_flag.empty': 'Type it in mm, or drag the flag.', 'far_flag.empty': 'Type it in mm, or drag the flag.', 'cut_piece.empty': 'Type it in mm, or drag the piece’s end.',
  'far_flag.above': 'That is above where it was: filament came out?', 'cut_piece.went': '| came out.', 'cut_piece.unlikely': 'So |\u00a0came out? Compare the drawing.', 'gauge.own': 'own gauge',
  'next.changes': 'One more would change the finding in {n} of 100 cases.', 'next.hardly': 'One more would hardly change the finding.', 'next.largest': 'The largest part of ± is {part}, the same in every pass.', 'next.largest2': 'The largest part of ± is {part}; more passes lessen it.', 'next.better': '{way} would give ± {u95} %', 'next.better2': 'End this check with what it has, and begin the next with: {way}', 'next.anew': 'Begin anew: {way}', 'next.anew2': '{way} would give {u95}',

  // What has happened, and what the machine does.
  'past.flags': 'apart, two flags', 'past.near': 'near flag', 'past.far': 'far flag', 'past.setAnew': 'set anew', 'past.flag': 'Flag', 'past.path': 'Path', 'past.open': 'open', 'past.unload': 'Filament', 'past.unload2': 'pulled back', 'past.coupler': 'Coupler', 'past.coupler2': 'undone', 'past.cut': 'Cut', 'past.cut2': 'flush', 'past.long': 'long, the piece', 'past.handWarm': '< 50 °C', 'past.handWarm2': 'by its own reading', 'past.warm': 'fed hot', 'past.toCut': 'fed, to be cut off', 'past.rest': 'left of length {n}',
  'cool.q': 'Cooling to below {c} °C.', 'cool.why': 'It is waited for by its own reading: then hands may go to the tube.', 'warm.q': 'Feeding a little, hot.', 'warm.why': 'So that what is pulled back comes off clean.', 'out.q': 'Bringing the filament out.', 'out.why': 'What comes out now is cut off, and not counted.', 'block.q': 'Feeding length {n}.',
  'ended.piece': 'Kept: a piece of {long}\u00a0mm',

  // What the ± is made of, and how the lengths lie.
  'budget.part': 'Part', 'budget.share': 'Share', 'budget.whole': 'Together', 'budget.caption': 'What the ± is made of', 'budget.same': 'the same in every pass', 'budget.less': 'less with more passes', 'budget.k2': 'The ± is twice the standard uncertainty.', 'budget.t': 'The ± is {k} times the standard uncertainty: few passes scatter, so t is taken, not 2.',
  'lengths.link': 'How the lengths lie', 'lengths.straight': 'The lengths lie on a line.', 'lengths.curved': 'The readings bend away from a line.', 'lengths.strays': 'One reading lies off the line.', 'lengths.strays2': '{n} readings lie off the line.',
  'lengths.why': 'What each reading is off the straight line of all. The line’s slope is the scale.', 'lengths.why.curved': 'That is slip or curl, and no matter of steps/mm.', 'lengths.why.strays': 'It was kept: was it misread? At {at}.', 'lengths.offset': 'The mark was set {offset} mm off, which drops out.', 'lengths.caption': 'Readings and what they are off', 'lengths.fed': 'Fed', 'lengths.left': 'Left', 'lengths.in': 'Went in', 'lengths.off': 'Off', 'lengths.pass': 'Pass {n}', 'lengths.none': 'No lengths are on record.', 'lengths.named': 'stray',
});
