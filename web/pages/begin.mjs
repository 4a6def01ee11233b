// Begin a cable check or a ladder. The defaults are good, so one tap begins; the rest of the inputs stands behind a link,
// and what goes past a refusal is asked for by the refusal alone.

import {trouble} from '../column.mjs';
import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {parseNumber} from '../entry.mjs';
import {beside, cells, form, usual} from '../form.mjs';
import {shortName} from '../page.mjs';
import {order} from './order.mjs';
import {capital, count, t} from '../texts.mjs';

/** What is offered side by side: a quick look, the usual, as many as a large piece has. */
const OFFERED = [1000, 5000, 50_000];

/** @param {Page} p @returns {Sheet} */
export function beginCable(p) {
  const o = order(p, 'cable_check', 'cable.head');
  if (o.missing) return o.missing;
  const {key, sheaf, routine, back, base, set, go} = o;
  const field = routine.fields.find((f) => f.name === 'lines') ?? {name: 'lines', label: t('cable.lines'), kind: /** @type {const} */ ('number'), default: 5000};
  const text = sheaf.fields.lines ?? usual(field), lines = parseNumber(text);
  const action = {label: lines === null ? t('cable.go0') : t('cable.go', {n: count(lines)}), act: go, busy: sheaf.sending};
  const common = {...base, action, keys: (/** @type {string} */ k) => { if (k === 'enter') go(); }};
  if (sheaf.open) {
    return {...common, key: `${key}/more`, question: t('cable.many'), reason: t('cable.many2'), entry: [form([field], sheaf.fields, set, sheaf.problem), sheaf.problem && trouble(beside(sheaf.problem)), el('p', {class: 'gap'})],
      links: [{label: t('back'), act: () => p.deeds.write(key, {open: false, problem: null})}]};
  }
  const offered = OFFERED.filter((n) => n >= (field.min ?? 0) && n <= (field.max ?? Infinity)).map((n) => ({value: String(n), label: count(n)}));
  return {...common, question: t('cable.begin'), reason: t('cable.begin2'), problem: sheaf.problem,
    entry: [el('p', {class: 'label'}, t('cable.lines')), cells(t('cable.lines'), offered, text, (v) => set('lines', v)), el('p', {class: 'gap'})],
    links: [{label: t('cable.other'), act: () => p.deeds.write(key, {open: true})}, back],
    future: [{bead: 'none', words: t('cable.way')}, {bead: 'none', words: t('way.finding')}]};
}

/** Why it is not begun, as sentences. @param {Problem|null} problem */
const refusals = (problem) => (problem?.errors ?? []).map((e) => `${capital(e.detail.replace(/^is not given, and /, ''))}.`).join(' ');

/** Switches past a refusal: asked for by the refusal, and never before. */
const OVERRIDES = ['without_feed_check', 'damp_anyway', 'afresh'];

/** @param {Page} p @returns {Sheet} */
export function beginLadder(p) {
  const name = p.route[2], o = order(p, name, /** @type {any} */ (`ladder.head.${name}`));
  if (o.missing) return o.missing;
  const {printer, key, sheaf, routine, material, back, base, go, action} = o;
  const set = (/** @type {string} */ field, /** @type {string} */ text) => p.deeds.write(key, {fields: {...sheafOf(key).fields, [field]: text}, problem: sheafOf(key).problem});
  const refused = sheaf.problem?.errors?.map((e) => e.field ?? e.pointer?.split('/').pop() ?? '') ?? [];
  const switches = routine.fields.filter((f) => OVERRIDES.includes(f.name) && (refused.includes(f.name) || sheaf.fields[f.name] === 'yes')), usuals = routine.fields.filter((f) => !OVERRIDES.includes(f.name));
  if (sheaf.open || refused.some((f) => usuals.some((u) => u.name === f))) {
    return {...base, key: `${key}/more`, question: t('begin.more'), reason: t('ladder.more2'), end: 'tip', action,
      long: [el('div', {class: 'controls'}, form(usuals, sheaf.fields, set, sheaf.problem), sheaf.problem && trouble(beside(sheaf.problem)))], foot: [{label: t('back'), act: () => p.deeds.write(key, {open: false, problem: null})}]};
  }
  if (switches.length) {
    return {...base, key: `${key}/refused`, question: t('begin.loaded', {material: shortName(material)}), reason: t('ladder.refused', {why: refusals(sheaf.problem)}).trim(), entry: [form(switches, sheaf.fields, set, null), el('p', {class: 'gap'})], action,
      links: [...(switches.some((f) => f.name === 'without_feed_check') ? [{label: t('due.check3'), go: `#/begin/${printer.id}`}] : []), back]};
  }
  return {...base, question: t('begin.loaded', {material: shortName(material)}), reason: t(/** @type {any} */ (`ladder.what.${name}`)), problem: sheaf.problem, action, note: t('ladder.needs'),
    links: [{label: t('ladder.change'), act: () => p.deeds.write(key, {open: true})}, {label: t('begin.other'), go: `#/materials/for/${printer.id}/${name}`}, back],
    future: ['pieces', 'grades', 'confirm'].map((w) => ({bead: 'none', words: t(/** @type {any} */ (`ladder.way.${w}`))})), keys: (k) => { if (k === 'enter') go(); }};
}
