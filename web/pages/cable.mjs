// Begin a cable check: how many lines are sent. One tap begins with the usual number.

import {trouble} from '../column.mjs';
import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {parseNumber} from '../entry.mjs';
import {beside, bodyOf, cells, form, usual} from '../form.mjs';
import {head, printerOf} from '../page.mjs';
import {count, t} from '../texts.mjs';
import {chosen} from './begin.mjs';

/** @typedef {import('../page.mjs').Page} Page */
/** @typedef {import('../sheet.mjs').Sheet} Sheet */

/** What is offered side by side: a quick look, the usual, as many as a large piece has. */
const OFFERED = [1000, 5000, 50_000];

/** @param {Page} p @returns {Sheet} */
export function beginCable(p) {
  const printer = printerOf(p, p.route[1]), key = `begin/${printer?.id}/cable`, sheaf = sheafOf(key);
  const routine = p.state.routines.find((r) => r.name === 'cable_check');
  const material = chosen(p, '', printer?.id), back = {label: t('back'), go: `#/printers/${printer?.id ?? ''}`};
  /** @type {Sheet} */
  const base = {key, printer: printer?.id, colour: material?.colour_hex, head: head(p, printer, t('cable.head'), printer?.line.state ?? ''), question: t('run.reading')};
  if (!routine || !printer) return {...base, end: 'none', pointer: false};
  if (!material) return {...base, question: t('begin.none'), reason: t('begin.none2'), action: {label: t('material.add'), go: '#/materials/new'}, links: [back]};
  const set = (/** @type {string} */ name, /** @type {string} */ text) => p.deeds.write(key, {fields: {...sheafOf(key).fields, [name]: text}, problem: null});
  const field = routine.fields.find((f) => f.name === 'lines') ?? {name: 'lines', label: t('cable.lines'), kind: /** @type {const} */ ('number'), default: 5000};
  const text = sheaf.fields.lines ?? usual(field), lines = parseNumber(text);
  const go = () => p.deeds.begin(key, {printer: printer.id, routine: routine.name, material: material.id, inputs: bodyOf(routine.fields, sheaf.fields)});
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
