// Heat and stops, on every page at the same place. The bar says the truth: where Stop cannot be relied on it stays a button
// and says so, with the printer's own switch below it.

import {pausing, pressed} from './deeds.mjs';
import {el} from './el.mjs';
import {switchOf} from './page.mjs';
import {OUTDATED_S, ageS, silent, streams} from './state.mjs';
import {ago, t} from './texts.mjs';

const HOT_C = 50; // above it the nozzle burns, and Halt is offered

/** @param {Page} p @param {string|undefined} id of the printer that the page is about @returns {Kid[]} */
export function dock(p, id) {
  const printer = id ? p.state.printers[id] ?? null : null;
  const stops = p.state.unpaired ? openStops(p) : [id ?? lastPrinter()].filter(Boolean);
  return [p.state.unpaired ? null : heatLine(p, printer), bar(p, printer, stops)];
}

/** Before pairing, Stop goes to every printer that anybody may stop. @param {Page} p */
const openStops = (p) => (p.state.about?.stops ?? []).map((path) => path.split('/').at(-2) ?? '').filter(Boolean);

/** @param {Page} p @param {Printer|null} printer */
function heatLine(p, printer) {
  const n = printer?.nozzle;
  if (!printer || !n) return el('p', {class: 'heat'}, el('b', null, t('heat.none')), printer ? t('heat.none2') : '');
  const age = ageS(p.state, printer, p.now), old = age > OUTDATED_S || printer.line.state === 'unplugged';
  const words = old ? t('heat.old') : n.target_c > 0 ? t('heat.of', {target: Math.round(n.target_c)}) : t('heat.off');
  return el('p', {class: 'heat'}, el('b', {class: old ? 'old' : null}, `${Math.round(n.c)}\u00a0°C`), el('span', {class: 'words'}, words), el('span', {class: 'age'}, ago(age)));
}

/** @param {Page} p @param {Printer|null} printer @param {string[]} ids whom Stop is for */
function bar(p, printer, ids) {
  const said = pressed.get(ids[0] ?? ''), press = (/** @type {'stop'|'halt'} */ what) => { for (const id of ids) p.deeds.stop(id, what); }, trouble = truth(p, printer, said);
  const run = printer?.run ? p.state.runs[printer.run] : undefined, sending = streams(run);
  if (!sending && printer) pausing.delete(printer.id);
  const hot = sending || (printer?.nozzle && (printer.nozzle.c > HOT_C || printer.nozzle.target_c > 0)) || (printer?.bed && printer.bed.target_c > 0);
  const words = trouble ? [el('span', {class: 'word'}, trouble), el('small', null, switchOf(printer))] : el('span', {class: 'word'}, t('stop'));
  if (said?.reached && (printer?.stop?.confirmed || printer?.line.state === 'halted')) pressed.delete(ids[0]);
  return el('div', {class: `bar ${trouble ? 'muted' : ''}`},
    sending && printer && !trouble ? pauseButton(p, printer.id) : null,
    el('button', {type: 'button', class: `stop ${said?.what === 'stop' ? 'pressed' : ''}`, on: {click: () => press('stop')}}, el('span', {class: 'in'}, words)),
    (hot || said?.what === 'halt') && !trouble ? el('button', {type: 'button', class: `halt ${said?.what === 'halt' ? 'pressed' : ''}`, on: {click: () => press('halt')}}, el('span', {class: 'word'}, t('halt'))) : null);
}

/** Left of Stop while a program is streamed: it stays pressed until the run asks whether to go on. @param {Page} p @param {string} id */
function pauseButton(p, id) {
  const asked = pausing.has(id);
  return el('button', {type: 'button', class: `pause ${asked ? 'pressed' : ''}`, 'aria-pressed': asked ? 'true' : 'false', on: {click: () => p.deeds.pause(id)}}, el('span', {class: 'word'}, t(asked ? 'pausing' : 'pause')));
}

/** Why Stop cannot be relied on, or ''. @param {Page} p @param {Printer|null} printer @param {{reached: boolean, refused: boolean, tries: number}|undefined} said */
function truth(p, printer, said) {
  if (said?.refused) return t('stop.refused');
  if (said && !said.reached && said.tries > 0) return t('stop.sent');
  if (p.state.store && silent(p.state, p.now)) return t('stop.cannot');
  if (!printer) return '';
  if (printer.line.state === 'unplugged') return t('stop.cannot');
  if (printer.line.state === 'halted') return t('stop.notHeard');
  if (printer.stop && !printer.stop.confirmed && ageS(p.state, printer, p.now) > OUTDATED_S) return t('stop.sent');
  return '';
}

const SLOT = 'fettle last printer';

/** Before pairing no printer is known but the one that this phone last saw. */
function lastPrinter() {
  try { return localStorage.getItem(SLOT) ?? ''; } catch { return ''; }
}

/** @param {string} id */
export function rememberPrinter(id) {
  try { if (localStorage.getItem(SLOT) !== id) localStorage.setItem(SLOT, id); } catch { /* Stop before pairing then has no printer */ }
}
