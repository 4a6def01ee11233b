// Begin a flow limit. One tap begins; what is measured with, and how far and how fast, stands behind a link. What the agent
// refuses is named beside its field.

import {cost} from '../climb.mjs';
import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {parseNumber} from '../entry.mjs';
import {form, usual} from '../form.mjs';
import {shortName} from '../page.mjs';
import {about, mm, t} from '../texts.mjs';
import {order} from './order.mjs';

/** @typedef {Exclude<ReturnType<typeof order>, {missing: Sheet}>} Order */

// What is usual where the field is empty, as the routine has it. Common practice, no source.
const FASTEST = 16, SOFT_FASTEST = 4, USUAL_BORE_MM = 0.4, DIAMETER_MM = 1.75;

/** @param {Page} p @returns {Sheet} */
export function beginFlow(p) {
  const o = order(p, 'flow_limit', 'flow.head');
  if (o.missing) return o.missing;
  const refused = o.sheaf.problem?.errors?.map(fieldOf) ?? [];
  return o.sheaf.open || refused.length ? more(p, o) : first(p, o);
}

/** @param {FieldFault} e */
const fieldOf = (e) => e.field ?? e.pointer?.split('/').pop() ?? '';

/** What stands in a field, or is meant where it is empty. @param {Order} o @param {string} name @param {number} otherwise */
const said = (o, name, otherwise) => parseNumber(o.sheaf.fields[name] ?? usual(o.routine.fields.find((f) => f.name === name) ?? {name, label: '', kind: 'text'})) ?? otherwise;

/** @param {Order} o */
const usualFastest = (o) => o.material.flexible ? SOFT_FASTEST : FASTEST * Math.min(1, (o.printer.setup?.nozzle_bore_mm || USUAL_BORE_MM) / USUAL_BORE_MM);

/** @param {Page} p @param {Order} o @returns {Sheet} */
function first(p, o) {
  const block = said(o, 'block_mm', 50), fastest = said(o, 'fastest_mm3_per_s', usualFastest(o)), gauge = o.routine.fields.find((f) => f.name === 'gauge');
  const takes = cost(fastest, block, o.printer.setup?.filament_diameter_mm || DIAMETER_MM, o.printer.setup?.feed_max_mm_per_s), mine = o.sheaf.fields.gauge ?? (gauge ? usual(gauge) : '');
  return {...o.base, past: [], question: t('begin.loaded', {material: shortName(o.material)}), reason: t('flow.what', {block: mm(block), fastest: mm(fastest), nozzle: mm(said(o, 'nozzle_c', o.material.nozzle_c))}),
    problem: o.sheaf.problem, action: o.action,
    note: t('flow.needs', {gauge: gauge?.choices?.find((c) => c.value === mine)?.label.replace(/^./, (c) => c.toLowerCase()) ?? t('flow.gauge'), minutes: about(takes.seconds), metres: mm(takes.filamentMM / 1000)}),
    links: [{label: t('flow.change'), act: () => p.deeds.write(o.key, {open: true})}, {label: t('begin.other'), go: `#/materials/for/${o.printer.id}/flow_limit`}, o.back],
    future: [...['air', 'present', 'heat', 'mark'].map((w) => t(/** @type {TextID} */ (`way.${w}`))), t('flow.way.blocks'), t('way.finding')].map((words) => ({bead: /** @type {const} */ ('none'), words})),
    keys: (k) => { if (k === 'enter') o.go(); }};
}

/** In the order in which they are thought of, behind what was refused. */
const ORDER = ['gauge', 'own_division_mm', 'own_limit_mm', 'rule_mm', 'block_mm', 'tolerance_percent', 'fastest_mm3_per_s', 'nozzle_c'];

/** @param {Page} p @param {Order} o @returns {Sheet} */
function more(p, o) {
  const problem = o.sheaf.problem, wrong = problem?.errors?.map(fieldOf) ?? [], place = (/** @type {Field} */ f) => wrong.includes(f.name) ? -1 : (ORDER.indexOf(f.name) + ORDER.length + 1) % (ORDER.length + 1);
  const fields = [...o.routine.fields].sort((a, b) => place(a) - place(b)), elsewhere = problem?.errors?.filter((e) => !fields.some((f) => f.name === fieldOf(e))) ?? [];
  const set = (/** @type {string} */ field, /** @type {string} */ text) => p.deeds.write(o.key, {fields: {...sheafOf(o.key).fields, [field]: text}, open: true, problem: null});
  const setup = elsewhere.some((e) => fieldOf(e) === 'filament_diameter_mm');
  return {...o.base, key: `${o.key}/more`, question: t('flow.more'), reason: t('flow.more2'), end: 'tip', action: o.action, links: setup ? [{label: t('flow.setup'), go: `#/setup/${o.printer.id}`}] : [],
    problem: problem && (elsewhere.length || !problem.errors?.length) ? {...problem, errors: elsewhere.length ? elsewhere : undefined, detail: problem.errors?.length ? '' : problem.detail} : null,
    long: [el('div', {class: 'controls'}, form(fields, o.sheaf.fields, set, problem))],
    foot: [{label: t('begin.less'), act: () => p.deeds.write(o.key, {open: false, problem: null})}]};
}
