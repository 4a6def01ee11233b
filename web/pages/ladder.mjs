// The two ladders: begun with what they need, their next piece with what is held, and a piece while it is printed.

import {trouble} from '../column.mjs';
import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {drawingOf} from '../figures/piece.mjs';
import {GRADES} from '../figures/strings.mjs';
import {beside, bodyOf, form, usual} from '../form.mjs';
import {head, printerOf, scene, shortName} from '../page.mjs';
import {about, capital, mm, t} from '../texts.mjs';
import {chosen} from './begin.mjs';
import {recordedOf} from './grades.mjs';
import {question} from './question.mjs';

/** @typedef {import('../page.mjs').Page} Page */
/** @typedef {import('../types.mjs').Run} Run */
/** @typedef {import('../types.mjs').Question} Question */
/** @typedef {import('../sheet.mjs').Sheet} Sheet */

export const LADDERS = Object.freeze(['travel_ladder', 'retraction_ladder']);

/** @param {string|undefined} routine */
export const isLadder = (routine) => LADDERS.includes(routine ?? '');

/** Switches past a refusal: asked for by the refusal, and never before. */
const OVERRIDES = ['without_feed_check', 'damp_anyway', 'afresh'];

/** @param {Page} p @returns {Sheet} */
export function beginLadder(p) {
  const name = p.route[2], printer = printerOf(p, p.route[1]), key = `begin/${printer?.id}/${name}`, sheaf = sheafOf(key);
  const routine = p.state.routines.find((r) => r.name === name), material = chosen(p, sheafOf(`begin/${printer?.id}`).pick, printer?.id), back = {label: t('back'), go: `#/printers/${printer?.id ?? ''}`};
  /** @type {Sheet} */
  const base = {key, printer: printer?.id, colour: material?.colour_hex, head: head(p, printer, t(/** @type {any} */ (`ladder.head.${name}`)), printer?.line.state ?? ''), question: t('run.reading')};
  if (!routine || !printer) return {...base, end: 'none', pointer: false};
  if (!material) return {...base, question: t('begin.none'), reason: t('begin.none2'), action: {label: t('material.add'), go: '#/materials/new'}, links: [back]};
  const set = (/** @type {string} */ field, /** @type {string} */ text) => p.deeds.write(key, {fields: {...sheafOf(key).fields, [field]: text}, problem: sheafOf(key).problem});
  const refused = sheaf.problem?.errors?.map((e) => e.field ?? e.pointer?.split('/').pop() ?? '') ?? [];
  const switches = routine.fields.filter((f) => OVERRIDES.includes(f.name) && (refused.includes(f.name) || sheaf.fields[f.name] === 'yes')), usuals = routine.fields.filter((f) => !OVERRIDES.includes(f.name));
  const go = () => p.deeds.begin(key, {printer: printer.id, routine: name, material: material.id, inputs: bodyOf(routine.fields, sheaf.fields)});
  const action = {label: t('begin.with', {material: shortName(material)}), act: go, busy: sheaf.sending};
  if (sheaf.open || refused.some((f) => usuals.some((u) => u.name === f))) {
    return {...base, key: `${key}/more`, question: t('begin.more'), reason: t('ladder.more2'), end: 'tip', action,
      long: [el('div', {class: 'controls'}, form(usuals, sheaf.fields, set, sheaf.problem), sheaf.problem && trouble(beside(sheaf.problem)))], foot: [{label: t('back'), act: () => p.deeds.write(key, {open: false, problem: null})}]};
  }
  if (switches.length) {
    return {...base, key: `${key}/refused`, question: t('begin.loaded', {material: shortName(material)}), reason: t('ladder.refused'), entry: [form(switches, sheaf.fields, set, sheaf.problem), el('p', {class: 'gap'})], action,
      links: [...(switches.some((f) => f.name === 'without_feed_check') ? [{label: t('due.check3'), go: `#/begin/${printer.id}`}] : []), back]};
  }
  return {...base, question: t('begin.loaded', {material: shortName(material)}), reason: t(/** @type {any} */ (`ladder.what.${name}`)), problem: sheaf.problem, action, note: t('ladder.needs'),
    links: [{label: t('ladder.change'), act: () => p.deeds.write(key, {open: true})}, {label: t('begin.other'), go: `#/materials/for/${printer.id}`}, back],
    future: ['pieces', 'grades', 'confirm'].map((w) => ({bead: 'none', words: t(/** @type {any} */ (`ladder.way.${w}`))})), keys: (k) => { if (k === 'enter') go(); }};
}

/** A number that is held, with its unit. @param {any} h */
const heldOf = (h) => `${String(h.label ?? '').toLowerCase()} ${typeof h.value === 'number' ? mm(h.value) : h.value}\u00a0${h.unit ?? ''}`.trim();

/** The next piece. @param {Page} p @param {Run} run @param {Question} q @returns {Sheet} */
export function nextPiece(p, run, q) {
  const s = q.shown ?? {}, sheet = question(p, run, q), left = Math.max(1, Math.round(s.prints_left ?? 1));
  const cost = s.minutes ? t('next.cost', {minutes: about(s.minutes * 60), metres: mm(s.filament_m ?? 0), left: left === 1 ? t('next.left1') : t('next.left', {n: left})}) : undefined;
  const points = (q.warning ?? []).map((w) => w.replace(/^(Warning|Caution)\. /, '')).join(' ');
  return {...sheet, reasonGives: true, warn: undefined, future: [], body: undefined,
    entry: [el('p', {class: 'quiet hold'}, el('b', null, points)), cost && el('p', {class: 'quiet hold'}, cost)],
    note: Array.isArray(s.held) && s.held.length ? t('next.held', {held: s.held.map(heldOf).join(', ')}) : undefined};
}

/** The part under way: "piece 2 band C" is the third band of the second piece. @param {Page} p @param {Run} run */
export function partOf(p, run) {
  const events = p.state.events[run.id] ?? [], [, piece = '', what = ''] = /^piece (\d+) (.*)$/.exec(events.findLast((e) => e.kind === 'begun' && e.name?.startsWith('piece '))?.name ?? '') ?? [];
  const shown = events.findLast((e) => e.kind === 'asked' && e.name === `piece ${piece}`)?.body?.shown ?? {}, d = drawingOf(shown.drawing), n = d?.bands.length ?? 8;
  const band = what === 'foot' ? 0 : what === 'end' ? n + 1 : (d?.bands.findIndex((b) => `band ${b.letter}` === what) ?? 0) + 1;
  const doing = run.doing ?? {what: ''}, part = doing.of_lines ? (doing.lines ?? 0) / doing.of_lines : 0;
  // The bands take alike, and foot and end together about as long as one: so the rest is known as well as it need be.
  const restS = (shown.minutes ?? 0) * 60 / (n + 1) * Math.max(0, n - Math.max(band, 0)) + (doing.left_s ?? 0);
  return {piece, band, part, drawing: shown.drawing, leftS: restS};
}

/** The run's figure and words while a piece is printed. @param {Page} p @param {Run} run */
export function printingOf(p, run) {
  const at = partOf(p, run);
  return {figure: 'printing', question: at.piece ? t('printing.q', {n: at.piece}) : t('printing.q0'), reason: t('printing.reason'), shown: at};
}

/** What was printed in a ladder, and its worst grades. @param {Page} p @param {Run} run */
export const rungsOf = (p, run) => recordedOf(p, run).flatMap((body) => body.bands.filter((/** @type {any} */ b) => GRADES[b.grade]).map((/** @type {any} */ b) => ({value: b.value, grade: Math.max(b.grade, ...(b.gaps ?? []).map((/** @type {any} */ g) => g.grade ?? 0))})));

/** What to do after a finding. @param {Page} p @param {Run} run @param {string} kind @returns {Partial<Sheet>} */
export function afterLadder(p, run, kind) {
  const docket = `#/dockets/${run.printer}/${run.material ?? ''}`, begin = `#/begin/${run.printer}/${run.routine}`, pieces = recordedOf(p, run).map((b) => b.piece);
  const action = kind === 'found' ? {label: t('ladder.to.found'), go: docket} : {label: t(kind === 'later' ? 'ladder.to.later' : 'ladder.to.again'), go: begin};
  return {action, links: [...pieces.slice(-3).map((n) => ({label: t('ladder.judged', {n}), go: `#/runs/${run.id}/graded/${n}`})), {label: t('ended.back'), go: `#/printers/${run.printer}`}]};
}
