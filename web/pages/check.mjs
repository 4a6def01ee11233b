// Begin a feed check. One tap begins the usual one; the gauge is mine, and what else may be said stands behind a link: the
// way to measure, a gauge of one's own, and the rest.

import {trouble} from '../column.mjs';
import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {parseNumber} from '../entry.mjs';
import {beside, cells, form, usual} from '../form.mjs';
import {gaugeOf} from '../mine.mjs';
import {shortName} from '../page.mjs';
import {mm, t} from '../texts.mjs';
import {wayOf, waysIn, wordOf} from '../ways.mjs';
import {order} from './order.mjs';

/** @typedef {Exclude<ReturnType<typeof order>, {missing: Sheet}>} Order */

/** @param {Page} p @returns {Sheet} */
export function begin(p) {
  const o = order(p, 'feed_check', 'begin.head');
  if (o.missing) return o.missing;
  const open = (/** @type {string} */ text) => p.deeds.write(o.key, {text, problem: null});
  switch (o.sheaf.text) {
    case 'way': return ways(p, o, open);
    case 'own': return own(o, open);
    case 'more': return more(o, open);
  }
  return first(o, open);
}

/** @param {Order} o @param {string} name as typed, or as it is until somebody says otherwise */
const said = (o, name) => o.sheaf.fields[name] ?? usual(o.routine.fields.find((f) => f.name === name) ?? {name, label: '', kind: 'text'});

/** @param {Order} o @param {(leaf: string) => void} open @returns {Sheet} */
function first(o, open) {
  const {printer, routine, material, base, set} = o, gauge = routine.fields.find((f) => f.name === 'gauge'), cls = routine.fields.find((f) => f.name === 'rule_class'), way = said(o, 'method');
  const mine = gaugeOf(routine.fields, o.sheaf.fields), vague = mine === 'own' && (parseNumber(said(o, 'own_division_mm')) === null || parseNumber(said(o, 'own_limit_mm')) === null);
  return {...base, past: [], question: t('begin.loaded', {material: shortName(material)}), reason: whatIsDone(o, way),
    entry: [gauge && el('p', {class: 'label gives'}, gauge.label), gauge && cells(gauge.label, gauge.choices ?? [], mine, (v) => set('gauge', v)),
      cls && el('div', {class: 'gives'}, el('p', {class: 'label then'}, cls.label), cells(cls.label, cls.choices ?? [], said(o, 'rule_class'), (v) => set('rule_class', v))), el('p', {class: 'gap'})],
    problem: o.sheaf.problem, action: vague ? {label: t('own.first'), act: () => open('own')} : o.action,
    links: [...(mine === 'own' && !vague ? [{label: t('own.is', {division: mm(Number(said(o, 'own_division_mm').replace(',', '.')))}), act: () => open('own')}] : []),
      {label: t('ways.other'), act: () => open('way')}, {label: t('begin.change'), act: () => open('more')}, {label: t('begin.other'), go: `#/materials/for/${printer.id}`}, o.back],
    future: wayOf(way).map((s) => ({bead: 'none', words: t(`way.${s}`)}))};
}

/** Heat, length, passes and the way in a sentence. @param {Order} o @param {string} way */
function whatIsDone(o, way) {
  const passes = said(o, 'passes'), heat = way === 'cold' ? t('ways.cold') : `${said(o, 'nozzle_c') || o.material.nozzle_c}\u00a0°C`;
  const how = t('ways.what', {heat, length: said(o, 'commanded_mm'), passes: passes === '1' ? t('begin.pass1') : t('begin.passes', {n: passes})});
  return ['inlet', 'cold', ''].includes(way) ? how : `${how} ${wordOf(way, o.routine.fields)}.`;
}

/** The ways that fit the machine, each with what it is good for. @param {Page} p @param {Order} o @param {(leaf: string) => void} open @returns {Sheet} */
function ways(p, o, open) {
  const now = said(o, 'method'), choose = (/** @type {string} */ method) => p.deeds.write(o.key, {fields: {...sheafOf(o.key).fields, method}, text: '', problem: null});
  const row = (/** @type {{value: string, label: string, good: string}} */ w) => el('button', {type: 'button', class: 'choice port', role: 'radio', 'aria-checked': w.value === now ? 'true' : 'false', on: {click: () => choose(w.value)}}, w.label, el('small', null, w.good));
  return {...o.base, key: `${o.key}/way`, end: 'tip', question: t('ways.q'), reason: t('ways.why'), reasonGives: true,
    entry: [el('div', {class: 'choices ways', role: 'radiogroup', 'aria-label': t('ways.q')}, waysIn(o.routine.fields, o.printer.setup).map(row))], links: [{label: t('back'), act: () => open('')}]};
}

/** A gauge of one's own is described by its owner, once. @param {Order} o @param {(leaf: string) => void} open @returns {Sheet} */
function own(o, open) {
  const fields = o.routine.fields.filter((f) => f.name.startsWith('own_'));
  return {...o.base, key: `${o.key}/own`, end: 'tip', question: t('own.q'), reason: t('own.why'), reasonGives: true,
    entry: [form(fields, o.sheaf.fields, o.set, o.sheaf.problem), o.sheaf.problem && trouble(beside(o.sheaf.problem)), el('p', {class: 'gap'})],
    action: o.action, links: [{label: t('back'), act: () => open('')}], keys: (k) => { if (k === 'enter') o.go(); }};
}

/** @param {Order} o @param {(leaf: string) => void} open @returns {Sheet} */
function more(o, open) {
  const elsewhere = ['gauge', 'method', ...(said(o, 'method') === 'several_lengths' ? [] : ['lengths']), ...(said(o, 'method') === 'cold' ? ['nozzle_c'] : [])];
  return {...o.base, key: `${o.key}/more`, question: t('begin.more'), reason: t('begin.more2'), end: 'tip', links: [], action: o.action,
    long: [el('div', {class: 'controls'}, form(o.routine.fields.filter((f) => !elsewhere.includes(f.name)), o.sheaf.fields, o.set, o.sheaf.problem), o.sheaf.problem && trouble(beside(o.sheaf.problem)))],
    foot: [{label: t('begin.less'), act: () => open('')}]};
}
