// The words of diameter and drift, by place.

export const CHART = Object.freeze({
  'past.place': 'place {n}', 'past.quarter': 'a quarter turn on', 'past.anew': 'again',
  'wide.empty': 'In {unit}. A caliper may type it.', 'wide.went': '| across.', 'wide.unlikely': '|? Look again.',
  'do.filament_diameter': 'measure the filament', 'record.diameter': 'filament, across',

  'across.title': 'The filament’s cut end between the jaws of a caliper',
  'across.desc': 'Place {place} of {places}, one way.',
  'across.desc2': 'Place {place} of {places}, a quarter turn on.',
  'across.sofar': '{n} readings so far, from {low} to {high} mm.',

  'width.head': 'diameter', 'width.begin': 'Is {material} at hand?', 'width.begin2': '{places} places along 2\u00a0m, each both ways. Nothing heats or moves.',
  'width.gauge': 'Read with', 'width.readings': 'Readings', 'width.own': 'Another gauge', 'width.own2': 'What do you read it with?', 'width.own3': 'Its division and its own limit become part of the ±.',
  'width.way': 'Place {n}, both ways', 'width.link': 'Filament', 'width.measure': 'Measure a filament', 'width.this': 'Measure it',
  'width.table': 'Readings', 'width.budget': 'The ± in parts', 'width.again': 'Measure it again', 'width.docket': 'To the docket', 'width.setup': 'Change the setup',
  'width.table.q': 'What was read, place by place.', 'width.table.why': 'Along about 2\u00a0m; each place one way, then a quarter turn on.',
  'width.spool': 'Spool: {spool}.', 'width.caption': 'Readings of the filament, mm', 'width.place': 'Place', 'width.one': 'One way', 'width.two': 'A quarter turn on', 'width.mean': 'Mean', 'width.apart': 'Apart', 'width.all': 'All',
  'width.none': 'Nothing was read.',

  'diameter.title': 'What was read along the filament, about its mean',
  'diameter.desc': '{number} mm {plus}, from {n} readings.',
  'diameter.section': '{section}\u00a0mm² in section, where {nominal}\u00a0mm has {round}.', 'diameter.section0': '{section}\u00a0mm² in section.',
  'diameter.one': 'one way', 'diameter.turned': 'a quarter turn on',

  'drift.head': 'drift', 'drift.link': 'Drift', 'drift.feed': 'How it drifts', 'drift.by': 'Check again by {day}.',
  'drift.chart': 'The checks of the feed in order of time, each with its ±, and their running average',
  'drift.desc': '{n} checks about {centre} {unit}; {framed} outside with the whole ±. Each is in the table below.',
  'drift.again': 'Check the feed again.', 'drift.again.outside': 'The last lies outside its limits with its whole ±.',
  'drift.few': 'Too few checks to tell.', 'drift.none': 'Nothing was checked on this setup.', 'drift.stays': 'It stays where it was.', 'drift.goes': 'It drifts by {rate} {unit} a\u00a0day.',
  'drift.nosetup': 'Drift is told for a setup.', 'drift.nosetup2': 'This printer has none yet: say first what it is fitted with.',
  'drift.day': 'Check again by', 'drift.was': 'It was to be checked by', 'drift.rate': 'a day', 'drift.checks': 'checks', 'drift.check': 'check', 'drift.rate.below': '{rate} a\u00a0day',
  'drift.ask': 'Filament, tolerance', 'drift.which': 'Which checks are charted?', 'drift.which2': 'The tolerance sets by when to check again; it changes no check.', 'drift.material': 'Checks with', 'drift.any': 'any filament', 'drift.tolerance': 'How far steps/mm may go, ±', 'drift.chart.go': 'Chart them',
  'drift.outside': 'is {typed}', 'drift.empty': 'empty', 'drift.accept': '{least} to {most}\u00a0%', 'drift.only': 'Only checks with {material}.', 'drift.none.of': 'Nothing was checked with it.',
  'drift.begin': 'Begin the feed check', 'drift.setup': 'Setup {n}: {checks}', 'drift.now': 'Setup {n}, as it is now', 'drift.before': 'Setup {n}', 'drift.nodate': 'no date',
  'drift.untimed': '{n} left out: the clock was not set then.', 'drift.unmeasured': '{n} left out: nothing in them tells steps/mm.',
  'drift.signal': 'Check {from}: {rule}.', 'drift.signals': 'Checks {from} to {to}: {rule}.',
  'drift.caption': 'Checks of the feed on setup {n}, {unit}', 'drift.date': 'Date', 'drift.value': 'Value', 'drift.limits': 'Limits', 'drift.average': 'Average', 'drift.how': 'Gauge, method, signal',
  'drift.average2': 'The average is a running one: each check moves it by a part, so that a slow drift shows early.',
  'drift.key': 'Bar: a check with its ±. Dashes: its limits, by the gauge. Light line: the running average. Marks above and below: the centre, and what ±\u00a0{percent}\u00a0% about it allow.', 'drift.since': 'since check {from}: {rule}', 'drift.expected': '{plus}, where {low} to {high} was to be expected',
  'drift.number': 'Check {n}.',
});
