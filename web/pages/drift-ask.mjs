// Which checks a drift is told of: with which setup, which filament, and how far the feed may go. The address says all
// three, so that a chart can be kept, and going back undoes a choice.

import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {parseNumber} from '../entry.mjs';
import {form} from '../form.mjs';
import {shortName} from '../page.mjs';
import {mm, t} from '../texts.mjs';

/** What is asked; empty is the usual: the setup in force, any material, the agent's own tolerance. @typedef {{setup: string, material: string, tolerance: string}} Asked */

const NOW = 'now', ANY = 'any', LEAST = 0.1, MOST = 10; // %, as the agent has them

/** @param {string[]} route @returns {Asked} */
export const askedIn = (route) => ({setup: route[2] === NOW ? '' : route[2] ?? '', material: route[3] === ANY ? '' : route[3] ?? '', tolerance: route[4] ?? ''});

/** The address of a chart. @param {string} printer @param {Partial<Asked>} asked */
export function addressOf(printer, {setup = '', material = '', tolerance = ''}) {
  const parts = [setup || NOW, material || ANY, tolerance], last = tolerance ? 3 : material ? 2 : setup ? 1 : 0;
  return ['#/drift', printer, ...parts.slice(0, last)].join('/');
}

/** Where the checks are asked for; the same names what came of it. @param {string} printer @param {Asked} asked */
export function driftPath(printer, {setup, material, tolerance}) {
  const query = [setup && `setup=${encodeURIComponent(setup)}`, material && `material=${encodeURIComponent(material)}`, tolerance && `tolerance_percent=${encodeURIComponent(tolerance)}`].filter(Boolean);
  return `/v1/printers/${printer}/drift${query.length ? `?${query.join('&')}` : ''}`;
}

/** Those that the setup was checked with, and the one that is asked for. @param {Page} p @param {string} printer @param {number} setup @param {string} now @returns {Choice[]} */
function materialsOf(p, printer, setup, now) {
  const checked = (p.state.entries[printer] ?? []).filter((e) => e.kind === 'feed_check' && e.setup_version === setup).map((e) => e.material ?? '');
  return [{value: ANY, label: t('drift.any')}, ...[...new Set([...checked, now])].filter(Boolean).map((id) => ({value: id, label: shortName(p.state.materials[id] ?? null) || id}))];
}

/** What is said, as fields. @param {Page} p @param {string} key @param {Printer} printer @param {Drift} d @param {Asked} asked @returns {Partial<Sheet>} */
export function ask(p, key, printer, d, asked) {
  const sheaf = sheafOf(key), usual = {material: asked.material || ANY, tolerance_percent: asked.tolerance || mm(d.tolerance_percent)}, values = {...usual, ...sheaf.fields}, choices = materialsOf(p, printer.id, d.setup_version, asked.material);
  /** @type {Field[]} */
  const fields = [...(choices.length > 1 ? [{name: 'material', label: t('drift.material'), kind: /** @type {const} */ ('choice'), choices}] : []),
    {name: 'tolerance_percent', label: t('drift.tolerance'), kind: 'number', unit: '%', min: LEAST, max: MOST}];
  const close = {open: false, problem: null, fields: {}};
  const go = () => {
    const v = parseNumber(values.tolerance_percent);
    if (v === null || v < LEAST || v > MOST) return p.deeds.write(key, {problem: outside(values.tolerance_percent)});
    p.deeds.write(key, close);
    p.deeds.go(addressOf(printer.id, {setup: asked.setup, material: values.material === ANY ? '' : values.material, tolerance: mm(v)}));
  };
  return {key: `${key}/ask`, question: t('drift.which'), reason: t('drift.which2'), end: 'tip',
    entry: [form(fields, values, (name, text) => p.deeds.write(key, {fields: {...sheafOf(key).fields, [name]: text}, problem: null}), sheaf.problem), el('p', {class: 'gap'})],
    action: {label: t('drift.chart.go'), act: go}, keys: (k) => { if (k === 'enter') go(); }, links: [{label: t('back'), act: () => p.deeds.write(key, close)}]};
}

/** @param {string} typed @returns {Problem} */
const outside = (typed) => ({type: '', title: '', status: 0, detail: '', code: 'typed', errors: [{field: 'tolerance_percent', detail: t('drift.outside', {typed: typed || t('drift.empty')}), accept: t('drift.accept', {least: mm(LEAST), most: mm(MOST)})}]});
