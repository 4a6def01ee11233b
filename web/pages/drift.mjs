// Whether the feed stays where it was: what the checks of a setup say, drawn, in one sentence, and as a table.

import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {isFramed} from '../figures/drift.mjs';
import {known, num, plusMinus} from '../figures/words.mjs';
import {head, loadedOn, materialOf, printerOf, scene, shortName} from '../page.mjs';
import {table} from '../table.mjs';
import {capital, t} from '../texts.mjs';
import {addressOf, ask, askedIn, driftPath} from './drift-ask.mjs';

/** @typedef {import('./drift-ask.mjs').Asked} Asked */

/** @param {string|undefined} at @param {boolean} [long] */
export const dayOf = (at, long = false) => at ? new Date(at).toLocaleDateString(undefined, {day: 'numeric', month: long ? 'long' : 'short'}) : t('drift.nodate');

/** @param {Page} p @returns {Sheet} */
export function drift(p) {
  const printer = printerOf(p, p.route[1]), asked = askedIn(p.route), key = `drift/${printer?.id}/${Object.values(asked).join('/')}`, d = printer && p.state.drifts[driftPath(printer.id, asked)];
  /** @type {Sheet} */
  const base = {key, printer: printer?.id, colour: (materialOf(p, asked.material) ?? (printer && loadedOn(p, printer.id)))?.colour_hex, head: head(p, printer, t('drift.head'), printer?.line.state ?? ''), question: t('run.reading'), end: 'tip'};
  const back = {label: t('back'), go: `#/printers/${printer?.id ?? ''}`};
  if (printer && !printer.setup) return {...base, question: t('drift.nosetup'), reason: t('drift.nosetup2'), action: {label: t('due.setup3'), go: `#/setup/${printer.id}`}, links: [back]};
  if (!printer || !d) return {...base, end: 'none', pointer: false, links: [back]};
  if (sheafOf(key).open) return {...base, ...ask(p, key, printer, d, asked)};
  const said = headline(d, p.now), begin = {label: t('drift.begin'), go: `#/begin/${printer.id}`}, links = [{label: t('drift.ask'), act: () => p.deeds.write(key, {open: true})}, ...others(d, printer, asked), back];
  const only = asked.material ? [el('p', null, el('b', null, t('drift.only', {material: shortName(materialOf(p, asked.material)) || asked.material})))] : [];
  if (!d.checks.length) return {...base, question: t(asked.material ? 'drift.none.of' : 'drift.none'), reason: sentence(d.why), action: begin, body: [el('div', {class: 'facts'}, only, aside(d))], links};
  const newer = d.setups.some((s) => s.version > d.setup_version), older = d.setups.findLast((s) => s.version < d.setup_version);
  return {...base, ...said, figure: 'drift', action: begin, links,
    scene: scene({printer, shown: {drift: d, number: number(d, p.now), dates: d.checks.map((k) => dayOf(k.at)), before: older && t('drift.before', {n: d.setup_version}), after: newer ? t('drift.before', {n: d.setup_version + 1}) : ''}}),
    long: [el('div', {class: 'controls'}, el('div', {class: 'facts'}, only, el('p', null, t('drift.key', {percent: num(d.tolerance_percent, 1)})), el('p', null, t('drift.average2')), d.signals.map((g) => el('p', null, el('b', null, signalOf(g)))), aside(d))), el('div', {class: 'controls wide'}, checksTable(d))]};
}

/** What the rules say of the stretch that is going on. @param {Drift} d */
function newest(d) {
  const last = d.checks.length - 1, stretch = d.checks[last]?.stretch ?? 0;
  return d.signals.filter((g) => (d.checks[g.to]?.stretch ?? 0) === stretch);
}

/** One sentence, and why. @param {Drift} d @param {number} now @returns {{question: string, reason: string}} */
export function headline(d, now) {
  const last = d.checks.length - 1, signals = newest(d), drifts = signals.find((g) => g.chart === 'trend' && g.rule.startsWith('it drifts')), other = signals.find((g) => g.chart === 'trend') ?? signals.find((g) => g.chart === 'ewma') ?? signals.at(-1);
  if (isFramed(d, last)) return {question: t('drift.again'), reason: t('drift.again.outside')};
  if (d.again && Date.parse(d.again) <= now) return {question: t('drift.again'), reason: sentence(d.why)};
  if (drifts && known(d.per_day)) return {question: t('drift.goes', {rate: rateOf(d).replace('+', ''), unit: d.unit}), reason: sentence(d.why)};
  if (other) return {question: sentence(other.rule), reason: sentence(d.why)};
  return {question: t(known(d.per_day) ? 'drift.stays' : 'drift.few'), reason: sentence(d.why)};
}

/** @param {string} s */
const sentence = (s) => s ? capital(s) + (/[.!?]$/.test(s) ? '' : '.') : '';

/** The rate, with as many decimals as its ± has, and its direction. @param {Drift} d */
function rateOf(d) {
  const decimals = Math.min(4, Math.max(0, 1 - Math.floor(Math.log10(Math.max(d.per_day_u95 ?? 0, 0.001)))));
  return `${(d.per_day ?? 0) > 0 ? '+' : ''}${num(d.per_day, decimals, true)}`;
}

/** The number that matters: the day of the next check, else the rate, else how many checks there are. @param {Drift} d @param {number} now */
function number(d, now) {
  const last = d.checks.length - 1, k = d.checks[last];
  if (isFramed(d, last)) return {above: dayOf(k.at, true), value: num(k.value, 2, true), unit: d.unit, below: known(k.low) && known(k.high) ? t('drift.expected', {plus: plusMinus(k.u95), low: num(k.low, 1, true), high: num(k.high, 1, true)}) : plusMinus(k.u95)};
  const rate = known(d.per_day) ? `${rateOf(d)}${known(d.per_day_u95) ? ` ${plusMinus(d.per_day_u95)}` : ''} ${d.unit}` : '';
  if (d.again) return {above: t(Date.parse(d.again) <= now ? 'drift.was' : 'drift.day'), value: dayOf(d.again, true), unit: '', below: rate ? t('drift.rate.below', {rate}) : ''};
  if (rate) return {value: rateOf(d), unit: d.unit, below: [t('drift.rate'), known(d.per_day_u95) ? plusMinus(d.per_day_u95) : ''].filter(Boolean).join(', '), hollow: false};
  return {value: String(d.checks.length), unit: t(d.checks.length === 1 ? 'drift.check' : 'drift.checks'), hollow: true};
}

/** @param {DriftSignal} g */
const signalOf = (g) => t(g.from === g.to ? 'drift.signal' : 'drift.signals', {from: g.from + 1, to: g.to + 1, rule: g.rule});

/** What was left out, and what is to be known beside. @param {Drift} d */
const aside = (d) => [...d.notes, d.untimed && !d.notes.length ? t('drift.untimed', {n: d.untimed}) : '', d.unmeasured ? t('drift.unmeasured', {n: d.unmeasured}) : ''].filter(Boolean).map((n) => el('p', null, n));

/** Other setups, each with its own checks, by the same tolerance. @param {Drift} d @param {Printer} printer @param {Asked} asked @returns {Way[]} */
const others = (d, printer, {tolerance}) => d.setups.filter((s) => s.version !== d.setup_version).map((s) => s.version === printer.setup?.version ? {label: t('drift.now', {n: s.version}), go: addressOf(printer.id, {tolerance})}
  : {label: t('drift.setup', {n: s.version, checks: `${s.checks} ${t(s.checks === 1 ? 'drift.check' : 'drift.checks')}`}), go: addressOf(printer.id, {setup: String(s.version), tolerance})});

/** Rules that a check completes: said once, where they end. @param {Drift} d @param {number} i */
const rulesAt = (d, i) => d.signals.filter((g) => i === g.to).map((g) => g.from === g.to ? g.rule : t('drift.since', {from: g.from + 1, rule: g.rule}));

/** Each check is two rows: its numbers, and how it came about. @param {Drift} d */
function checksTable(d) {
  const date = (/** @type {DriftCheck} */ k) => k.at ? [dayOf(k.at), el('br', null), String(new Date(k.at).getFullYear())] : [t('drift.nodate')];
  const limits = (/** @type {DriftCheck} */ k) => known(k.low) && known(k.high) ? [num(k.low, 2, true), el('br', null), num(k.high, 2, true)] : t('none');
  const how = (/** @type {DriftCheck} */ k, /** @type {number} */ i) => [`${t('drift.number', {n: i + 1})} ${[k.gauge, k.method].filter(Boolean).map((w) => (w ?? '').replace(/_/g, ' ')).join(', ')}`, ...rulesAt(d, i)].join('; ');
  return table({cls: 'checks', caption: t('drift.caption', {n: d.setup_version, unit: d.unit}), heads: [[{words: t('drift.date'), down: 2}, t('drift.value'), '±', t('drift.average'), t('drift.limits')], [{words: t('drift.how'), across: 4}]],
    parts: d.checks.map((k, i) => [[{words: [...(k.run ? [el('a', {href: `#/runs/${k.run}`}, date(k))] : date(k))], down: 2}, num(k.value, 2, true), num(k.u95, 2, true), num(k.ewma, 2, true), {words: limits(k)}], [{words: how(k, i), across: 4}]])});
}
