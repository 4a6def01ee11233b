// Begin a feed check: which filament is in, what it is measured with. The defaults are good, so one tap begins; the rest of
// the inputs stands behind a link.

import {trouble} from '../column.mjs';
import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {beside, bodyOf, cells, form, usual} from '../form.mjs';
import {head, printerOf, shortName} from '../page.mjs';
import {t} from '../texts.mjs';

/** @typedef {import('../page.mjs').Page} Page */
/** @typedef {import('../sheet.mjs').Sheet} Sheet */
/** @typedef {import('../types.mjs').Material} Material */

/** @param {Page} p @returns {Sheet} */
export function begin(p) {
  const printer = printerOf(p, p.route[1]), key = `begin/${printer?.id}`, sheaf = sheafOf(key);
  const routine = p.state.routines.find((r) => r.name === 'feed_check');
  const material = chosen(p, sheaf.pick, printer?.id), back = {label: t('back'), go: `#/printers/${printer?.id ?? ''}`};
  const base = {key, printer: printer?.id, colour: material?.colour_hex, head: head(p, printer, t('begin.head'), printer?.line.state ?? '')};
  if (!routine || !printer) return {...base, question: t('run.reading'), end: 'none', pointer: false};
  const set = (/** @type {string} */ name, /** @type {string} */ text) => p.deeds.write(key, {fields: {...sheafOf(key).fields, [name]: text}, problem: null});
  const gauge = routine.fields.find((f) => f.name === 'gauge');
  const go = () => p.deeds.begin(key, {printer: printer.id, routine: routine.name, material: material?.id, inputs: bodyOf(routine.fields, sheaf.fields)});
  const action = {label: t('begin.with', {material: shortName(material)}), act: go, busy: sheaf.sending};
  if (sheaf.open) {
    return {...base, key: `${key}/more`, question: t('begin.more'), reason: t('begin.more2'), end: 'tip',
      long: [el('div', {class: 'controls'}, form(routine.fields, sheaf.fields, set, sheaf.problem), sheaf.problem && trouble(beside(sheaf.problem)))],
      links: [], action, foot: [{label: t('begin.less'), act: () => p.deeds.write(key, {open: false})}]};
  }
  if (!material) return {...base, question: t('begin.none'), reason: t('begin.none2'), action: {label: t('material.add'), go: '#/materials/new'}, links: [back]};
  const value = (/** @type {string} */ name) => sheaf.fields[name] ?? usual(routine.fields.find((f) => f.name === name) ?? {name, label: '', kind: 'text'});
  return {...base, past: [], question: t('begin.loaded', {material: shortName(material)}),
    reason: t('begin.what', {nozzle: value('nozzle_c') || material.nozzle_c, length: value('commanded_mm'), passes: value('passes') === '1' ? t('begin.pass1') : t('begin.passes', {n: value('passes')})}),
    entry: [gauge && el('p', {class: 'label'}, gauge.label), gauge && cells(gauge.label, gauge.choices ?? [], value('gauge'), (v) => set('gauge', v)), el('p', {class: 'gap'})],
    problem: sheaf.problem, action,
    links: [{label: t('begin.other'), go: `#/materials/for/${printer.id}`}, {label: t('begin.change'), act: () => p.deeds.write(key, {open: true})}, back],
    future: ['air', 'present', 'heat', 'mark', 'feed', 'leftover'].map((s) => ({bead: 'none', words: t(/** @type {any} */ (`way.${s}`))}))};
}

/** The one picked, else the one last used here, else the first. @param {Page} p @param {string} pick @param {string} [printer] */
export function chosen(p, pick, printer) {
  const last = (p.state.entries[printer ?? ''] ?? []).findLast((e) => e.material)?.material ?? '';
  return /** @type {Material|undefined} */ (p.state.materials[pick] ?? p.state.materials[last] ?? Object.values(p.state.materials)[0]) ?? null;
}
