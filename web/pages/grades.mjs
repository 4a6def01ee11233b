// A piece is judged: band by band, a gap that differs by itself, then what is to be said of the whole. Nothing is sent before
// all whole bands have a grade and the person records; what is half given outlasts a reload. Values are told afterwards.

import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {pickOf} from '../figures/grades.mjs';
import {drawingOf} from '../figures/piece.mjs';
import {GRADES, gradeDrawing} from '../figures/strings.mjs';
import {bodyOf, cells} from '../form.mjs';
import {ofRun, scene} from '../page.mjs';
import {capital, mm, t} from '../texts.mjs';
import {keyOf, question} from './question.mjs';

/** @typedef {{letter: string, gaps: Field[]}} Band  "a", and the fields of its gaps from the narrowest */
/** @typedef {Record<string, string>} Fields */

const NOT_JUDGED = 'not_judged';

/** The whole bands, from the foot. @param {Question} q @returns {Band[]} */
const bandsOf = (q) => q.fields.flatMap((f) => { const m = /^([a-z])_grade$/.exec(f.name); return m ? [{letter: m[1], gaps: q.fields.filter((g) => g.name.startsWith(`${m[1]}_gap_`))}] : []; });

/** What is said of a band: from one that was spoiled on upward nothing is judged. @param {Fields} said @param {string} letter */
export const gradeOf = (said, letter) => said.spoiled && said.spoiled !== 'none' && letter >= (said.spoiled_from ?? 'a') ? NOT_JUDGED : said[`${letter}_grade`];

/** @param {Question} q @param {Fields} said */
export const left = (q, said) => bandsOf(q).filter((b) => !gradeOf(said, b.letter)).length;

/** What is recorded: whole, and no gap of a band that is not judged. @param {Question} q @param {Fields} said */
export function answerOf(q, said) {
  const whole = {...said}, spoiled = said.spoiled && said.spoiled !== 'none';
  for (const b of bandsOf(q)) {
    whole[`${b.letter}_grade`] = gradeOf(said, b.letter) ?? '';
    for (const g of b.gaps) if (whole[`${b.letter}_grade`] === NOT_JUDGED || whole[g.name] === whole[`${b.letter}_grade`]) delete whole[g.name];
  }
  if (!spoiled) delete whole.spoiled_from;
  return bodyOf(q.fields, whole);
}

/** One more grade: of the band, which its gaps then have too, or of the one gap. @param {Fields} said @param {Band} b @param {number} gap @param {string} grade @returns {Fields} */
export function graded(said, b, gap, grade) {
  if (b.gaps[gap]) return {...said, [b.gaps[gap].name]: grade};
  const rest = Object.fromEntries(Object.entries(said).filter(([name]) => !b.gaps.some((g) => g.name === name)));
  return {...rest, [`${b.letter}_grade`]: grade};
}

/** @param {Page} p @param {Run} run @param {Question} q @returns {Sheet} */
export function grades(p, run, q) {
  const base = question(p, run, q), key = keyOf(run), sheaf = sheafOf(key), said = sheaf.fields, bands = bandsOf(q);
  // Keys come faster than the page is drawn: what they mean is read from what is kept, never from what is shown.
  const fields = () => sheafOf(key).fields, put = (/** @type {Fields} */ more) => p.deeds.write(key, {fields: {...fields(), ...more}, problem: null});
  const sheet = {...base, past: [], future: [], entry: undefined, action: undefined, links: base.links?.filter((l) => l.minor), warn: base.warn};
  if (sheaf.step > 0 || !bands.length) return wholePiece(p, run, q, sheet, put);
  const at = pickOf(sheaf.pick), b = bands[Math.min(at.band, bands.length - 1)], gap = b.gaps[at.gap], name = b.letter.toUpperCase();
  const go = (/** @type {number} */ band, /** @type {number} */ g) => { p.deeds.write(key, {pick: g < 0 ? String(band) : `${band}/${g}`}); refocus(); };
  const here = () => pickOf(sheafOf(key).pick), last = bands.length - 1;
  const grade = (/** @type {string} */ g, /** @type {{band: number, gap: number}} */ of) => p.deeds.write(key, {fields: graded(fields(), bands[Math.min(of.band, last)], of.gap, g), problem: null});
  const say = (/** @type {string} */ g) => grade(g, at);
  const toNext = () => { const open = (/** @type {Band} */ x) => !gradeOf(fields(), x.letter), next = bands.findIndex((x, i) => i > here().band && open(x)), any = bands.findIndex(open); if (any < 0) p.deeds.write(key, {step: 1}); else go(next < 0 ? any : next, -1); };
  const none = left(q, said) === 0, untouched = Object.keys(said).length === 0;
  const voids = `${b.letter}_voids`, chosen = gap ? said[gap.name] ?? gradeOf(said, b.letter) : gradeOf(said, b.letter);
  return {...sheet, key: `${key}/bands`, question: gap ? t('grade.gap', {band: name, gap: widthOf(gap)}) : t('grade.band', {band: name}), reason: untouched ? t('grade.how') : undefined, reasonGives: true,
    links: [], figure: 'grades', scene: scene({...base.scene, shown: {...q.shown, said: bands.map((x) => seen(said, x))}, pick: sheaf.pick, choose: (pick) => p.deeds.write(key, {pick})}),
    grades: [el('div', {class: 'cells thin', role: 'group', 'aria-label': t('grade.more')},
      toggle(t('grade.voids'), said[voids] === 'yes', () => put({[voids]: fields()[voids] === 'yes' ? 'no' : 'yes'}), t('grade.voids2', {band: name})),
      toggle(t('grade.not'), chosen === NOT_JUDGED, () => { if (!gap) say(NOT_JUDGED); }, t('grade.not2', {band: name})),
      el('button', {type: 'button', class: 'cell onward', on: {click: () => p.deeds.write(key, {step: 1})}}, t('grade.whole')),
      el('button', {type: 'button', class: 'cell onward', on: {click: toNext}}, none ? t('grade.done') : t('grade.next'))),
    cells(gap ? t('grade.gap', {band: name, gap: widthOf(gap)}) : t('grade.band', {band: name}), GRADES.map((g) => ({value: g, label: t(/** @type {any} */ (`grade.${g}`)), drawing: gradeDrawing(g), test: t(/** @type {any} */ (`test.${g}`))})), chosen ?? '', say)],
    keys: (k) => { if (k === 'enter') toNext(); else if (GRADES[Number(k)] && k !== '.') grade(GRADES[Number(k)], here()); },
    arrows: (k) => { const {band, gap: g} = here(); if (k === 'up' || k === 'down') go(Math.min(last, Math.max(0, band + (k === 'up' ? 1 : -1))), g); else go(band, Math.min(b.gaps.length - 1, Math.max(-1, g + (k === 'right' ? 1 : -1)))); }};
}

/** The keyboard goes where the pointer goes, if it was in the drawing. */
function refocus() {
  if (document.activeElement?.closest('.stage')) requestAnimationFrame(() => /** @type {any} */ (document.querySelector('.stage .pick[tabindex="0"]'))?.focus());
}

/** "d_gap_6_mm" is 6 mm wide. @param {Field} f */
const widthOf = (f) => f.name.replace(/^._gap_(.*)_mm$/, '$1').replace('_', '.');

/** @param {Fields} said @param {Band} b */
const seen = (said, b) => ({grade: gradeOf(said, b.letter), gaps: gradeOf(said, b.letter) === NOT_JUDGED ? [] : b.gaps.map((g) => said[g.name]), voids: said[`${b.letter}_voids`] === 'yes'});

/** @param {string} label @param {boolean} on @param {() => void} click @param {string} [says] */
const toggle = (label, on, click, says) => el('button', {type: 'button', class: 'cell', 'aria-pressed': on ? 'true' : 'false', 'aria-label': says, on: {click}}, label);

/** What is to be said of all of it, then the record. @param {Page} p @param {Run} run @param {Question} q @param {Sheet} sheet @param {(f: Fields) => void} put @returns {Sheet} */
function wholePiece(p, run, q, sheet, put) {
  const key = keyOf(run), sheaf = sheafOf(key), said = sheaf.fields, open = left(q, said), from = q.fields.find((f) => f.name === 'spoiled_from'), spoiled = q.fields.find((f) => f.name === 'spoiled');
  const flags = q.fields.filter((f) => f.kind === 'yes' && !/^._/.test(f.name)), what = said.spoiled ?? 'none', back = () => p.deeds.write(key, {step: 0});
  const record = () => p.deeds.answer(key, run.id, q.number, answerOf(q, said));
  const firstOpen = () => bandsOf(q).find((b) => !said[`${b.letter}_grade`])?.letter ?? bandsOf(q)[0]?.letter ?? 'a';
  return {...sheet, key: `${key}/whole`, question: t('whole.q'), reason: t(what === 'none' ? 'whole.reason' : 'whole.from'), reasonGives: true, figure: undefined, scene: undefined,
    entry: [el('div', {class: 'cells two', role: 'group', 'aria-label': t('whole.q')}, flags.map((f) => toggle(f.label, said[f.name] === 'yes', () => put({[f.name]: said[f.name] === 'yes' ? 'no' : 'yes'}))),
      (spoiled?.choices ?? []).filter((c) => c.value !== 'none').map((c) => toggle(c.label, what === c.value, () => put(what === c.value ? {spoiled: 'none'} : {spoiled: c.value, spoiled_from: said.spoiled_from ?? firstOpen()})))),
    what !== 'none' && from && el('div', {class: 'four'}, cells(t('whole.from'), from.choices ?? [], said.spoiled_from ?? '', (v) => put({spoiled_from: v}))), el('p', {class: 'gap'})],
    action: open ? {label: t(open === 1 ? 'whole.left1' : 'whole.left', {n: open}), act: back} : {label: t('whole.record'), act: record, busy: sheaf.sending},
    links: [...(open ? [] : [{label: t('whole.back'), act: back}]), ...(sheet.links ?? [])], keys: (k) => { if (k === 'enter') (open ? back : record)(); }};
}

/** Grades that were recorded, with the values of their bands, newest last. @param {Page} p @param {Run} run @returns {any[]} */
export const recordedOf = (p, run) => (p.state.entries[run.printer] ?? []).filter((e) => e.kind === 'grades' && e.run === run.id && Array.isArray(e.body?.bands)).map((e) => e.body);

/** A piece that was judged, now with its values. @param {Page} p @param {Run} run @returns {Sheet} */
export function judgedPiece(p, run) {
  const n = Number(p.route[3]), body = recordedOf(p, run).findLast((b) => b.piece === n);
  const base = {key: `${run.id}/graded/${n}`, ...ofRun(p, run), links: [{label: t('judged.back'), go: `#/runs/${run.id}`}]};
  const drawing = drawingOf(p.state.events[run.id]?.findLast((e) => e.kind === 'asked' && e.name === `grades ${n}`)?.body?.shown?.drawing);
  if (!body) return {...base, question: t('run.reading'), end: 'tip'};
  const unit = body.ladder === 'travel' ? 'mm/s' : 'mm';
  const said = body.bands.map((/** @type {any} */ b) => ({grade: GRADES[b.grade] ?? NOT_JUDGED, word: mm(b.value), voids: b.voids, gaps: (drawing?.gaps ?? []).map((g) => GRADES[b.gaps?.find((/** @type {any} */ x) => x.mm === g.wide_mm)?.grade])}));
  const flags = ['clicking', 'ground', 'clogged'].filter((f) => body[f]).map((f) => t(/** @type {any} */ (`flag.${f}`)));
  return {...base, question: t('judged.q', {n}), reason: [t('judged.reason', {unit}), capital(flags.join(', '))].filter(Boolean).join(' '), figure: 'judged', scene: scene({run, shown: {drawing, said}})};
}
