// What has happened in a run, as rows on the strand, and what will come, as dashes. Read from its events; pure.

import {isFlow} from './climb.mjs';
import {flowFuture, flowRow} from './flow-steps.mjs';
import {capital, count, mm, t, time} from './texts.mjs';
import {stem, stepsAfter} from './ways.mjs';

/** @typedef {import('./shapes/types.mjs').Event} Event */

/** @param {Run} run @param {Event[]} events @returns {Row[]} */
export function pastOf(run, events) {
  const facts = events.length ? events : fromAnswers(run);
  /** @type {Row[]} */
  const rows = [];
  for (const e of facts) {
    const own = isFlow(run.routine) ? flowRow(e, facts) : undefined, row = own === undefined ? rowOf(e, run) : own;
    if (row) rows.push({...row, right: time(e.wall_ms), key: String(e.seq)});
  }
  return rows;
}

/** A run whose events are not read yet still shows its answers. @param {Run} run @returns {Event[]} */
const fromAnswers = (run) => run.answers.map((a) => ({seq: a.question, kind: 'answered', name: a.name, body: a.answer, boot: '',
  mono_ms: 0, wall_ms: Date.parse(a.at), wall_trusted: true}));

/** @type {Record<string, 'ladder.travel_ladder'|'ladder.retraction_ladder'>} */
const LADDER_TITLES = {travel_ladder: 'ladder.travel_ladder', retraction_ladder: 'ladder.retraction_ladder'};

/** @param {Run} run */
const titleOf = (run) => run.routine === 'feed_check' ? t('past.check') : run.routine === 'cable_check' ? t('past.cable') : isFlow(run.routine) ? t('past.flow') : LADDER_TITLES[run.routine] ? t(LADDER_TITLES[run.routine]) : capital(run.routine.replace(/_/g, ' '));

/** @param {Event} e @param {Run} run @returns {Row|null} */
function rowOf(e, run) {
  switch (e.kind) {
    case 'run begun': return {bead: 'ring', strong: e.body?.from ? t('past.again') : titleOf(run), words: t('past.begun')};
    case 'answered': return answered(e.name ?? '', e.body ?? {}, run.id);
    case 'done': return done(e.name ?? '', e.body ?? {}, run);
    case 'cooled': return {bead: 'stop', strong: t('past.heat'), words: t('past.cooled')};
    case 'taken_back': return {bead: 'hollow', strong: plain(e.name ?? ''), words: t('past.back')};
    case 'streamed': return e.name === 'whole' && LADDER_TITLES[run.routine] ? null : streamed(e); // a piece has ten of them
    case 'run ended': return ending(e, run);
  }
  return null;
}

/** @param {Event} e @returns {Row} */
function streamed(e) {
  const lines = e.body?.lines ?? 0, of = e.body?.of_lines ?? 0;
  if (e.name === 'whole') return {bead: 'ring', strong: `${count(lines)}\u00a0${t('stream.lines')}`, words: t('past.sent')};
  return {bead: 'hollow', strong: `${count(lines)}\u00a0${t('stream.lines')}`, words: t('stream.of', {of: count(of)})};
}

/** @param {Event} e @param {Run} run @returns {Row|null} */
function ending(e, run) {
  if (e.name === 'stopped') return {bead: 'stop', strong: t('past.stop'), words: e.who ?? ''};
  if (e.name === 'interrupted') return {bead: 'gap', words: t('past.away')};
  if (e.name === 'failed') return {bead: 'failed', strong: titleOf(run), words: t('past.failed')};
  return null;
}

/** @param {string} name */
const plain = (name) => capital(stem(name));

/** @param {string} name @param {any} a @param {string} run @returns {Row|null} */
function answered(name, a, run) {
  switch (stem(name)) {
    case 'air': return {bead: 'ring', strong: t('past.air'), words: t('past.air2')};
    case 'present': return {bead: 'ring', strong: t('past.cautions'), words: t('past.read')};
    case 'hands away': return {bead: 'ring', strong: t('past.hands'), words: t('past.away2')};
    case 'mark': return {bead: 'ring', strong: `${mm(a.mark_mm)}\u00a0mm`, words: t('past.marked')};
    case 'reading': return {bead: 'ring', strong: `${mm(a.across_mm)}\u00a0mm`, words: placeOf(name)};
    case 'strand': return a.strand === 'smooth' ? {bead: 'ring', strong: t('past.strand'), words: t('past.smooth')}
      : {bead: 'hollow', strong: t('past.strand'), words: t('past.popping')};
    case 'leftover': case 'far flag': return leftover(name, a);
    case 'flags': return {bead: 'ring', strong: `${mm(a.flags_mm)}\u00a0mm`, words: t('past.flags')};
    case 'near flag': return a.near_mm === undefined ? {bead: 'hollow', strong: t('past.flag'), words: t('past.setAnew')} : {bead: 'ring', strong: `${mm(a.near_mm)}\u00a0mm`, words: t('past.near')};
    case 'path': return {bead: 'ring', strong: t('past.path'), words: t('past.open')};
    case 'unload': return {bead: 'ring', strong: t('past.unload'), words: t('past.unload2')};
    case 'coupler': return {bead: 'ring', strong: t('past.coupler'), words: t('past.coupler2')};
    case 'cut': return {bead: 'splice', strong: t('past.cut'), words: t('past.cut2')};
    case 'apply': return {bead: 'ring', strong: t(a.apply === 'write' ? 'past.write' : 'past.leave'), words: t('past.chosen')};
    case 'piece': return a.piece_mm !== undefined ? {bead: 'ring', strong: `${mm(a.piece_mm)}\u00a0mm`, words: t('past.long')} : {bead: a.next === 'later' ? 'hollow' : 'ring', strong: t('past.piece', {n: name.replace(/\D/g, '')}), words: t(a.next === 'later' ? 'past.piece.later' : 'past.piece.print')};
    case 'grades': return {bead: 'ring', strong: t('past.piece', {n: name.replace(/\D/g, '')}), words: t('past.graded'), href: `#/runs/${run}/graded/${name.replace(/\D/g, '')}`};
    case 'go on': return {bead: 'ring', strong: t('pause'), words: t('past.goOn')};
    case 'another': case 'verify': return null;
  }
  return {bead: 'ring', strong: plain(name), words: t('past.answered')};
}

/** Each place is read one way, then a quarter turn on. @param {string} name "reading 3", "reading 3, again" */
function placeOf(name) {
  const n = parseInt(name.replace(/\D+/, ''), 10);
  return [t('past.place', {n: Math.ceil(n / 2)}), n % 2 ? '' : t('past.quarter'), name.endsWith('again') ? t('past.anew') : ''].filter(Boolean).join(', ');
}

/** What is left of the mark, of the far flag, or of the mark after one of several lengths. @param {string} name @param {any} a @returns {Row} */
function leftover(name, a) {
  const far = stem(name) === 'far flag', length = / length (\d+)$/.exec(name)?.[1];
  if (a.leftover_mm !== undefined) return {bead: 'ring', strong: `${mm(a.leftover_mm)}\u00a0mm`, words: far ? t('past.far') : length ? t('past.rest', {n: length}) : t('past.left')};
  return {bead: 'hollow', strong: t(far ? 'past.flag' : 'past.mark'), words: t(a.instead === 'mark_went_in' ? 'past.in' : 'past.out')};
}

/** @param {string} name @param {any} b @param {Run} run @returns {Row|null} */
function done(name, b, run) {
  switch (stem(name)) {
    case 'read steps': return b.steps_per_mm ? {bead: 'ring', strong: `${b.steps_per_mm.toFixed(2)}\u00a0steps/mm`, words: t('past.inUse')} : null;
    case 'pre-feed': return b.prevented ? {bead: 'failed', strong: t('past.feed'), words: t('past.prevented')}
      : {bead: 'ring', strong: `${mm(b.commanded_mm)}\u00a0mm`, words: t(run.inputs?.method === 'tube_end' ? 'past.toCut' : 'past.play')};
    case 'warm': return b.prevented ? {bead: 'failed', strong: t('past.feed'), words: t('past.prevented')} : {bead: 'ring', strong: `${mm(b.commanded_mm)}\u00a0mm`, words: t('past.warm')};
    case 'cool': return {bead: 'ring', strong: t('past.handWarm'), words: t('past.handWarm2')};
    case 'feed': return b.prevented ? {bead: 'failed', strong: t('past.feed'), words: t('past.prevented')}
      : {bead: 'ring', strong: `${mm(b.commanded_mm)}\u00a0mm`, words: t('past.asked')};
    case 'apply': return {bead: b.standing === 'verified' ? 'ring' : 'hollow', strong: `${Number(b.value).toFixed(2)}\u00a0steps/mm`, words: b.standing};
  }
  return null;
}

/** @param {Run} run @returns {Row[]} */
export function futureOf(run) {
  if (isFlow(run.routine)) return flowFuture(run, run.question ? stem(run.question.name) : run.doing?.what ?? '');
  if (run.routine === 'cable_check') return [{bead: 'none', words: t('way.finding')}];
  if (run.routine !== 'feed_check') return [];
  return stepsAfter(run).map((step) => ({bead: 'none', words: t(`way.${step}`), right: wayNote(step, run)}));
}

/** @param {import('./ways.mjs').Step} step @param {Run} run */
function wayNote(step, run) {
  const i = run.inputs ?? {};
  if (step === 'pre-feed' && i.pre_feed_mm) return `${mm(i.pre_feed_mm)}\u00a0mm`;
  if ((step === 'feed' || step === 'feeds') && i.commanded_mm) return `${mm(i.commanded_mm)}\u00a0mm`;
  if (step === 'mark') return t('way.pen');
  return undefined;
}
