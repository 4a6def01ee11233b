// The curve of a flow limit with its numbers as a table, what was skipped, and how fast a head may go with a line of one's
// own. The same while it climbs, as far as it has come.

import {byFlow, climbOf, readOf, topSpeed, usualLine, valueOf} from '../climb.mjs';
import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {parseNumber, plusMinus} from '../entry.mjs';
import {known, num} from '../figures/words.mjs';
import {form} from '../form.mjs';
import {ofRun} from '../page.mjs';
import {ended} from '../state.mjs';
import {table} from '../table.mjs';
import {mm, t} from '../texts.mjs';

/** @typedef {import('../climb.mjs').Block} Block */

/** @param {Page} p @param {Run} run @returns {Sheet} */
export function curve(p, run) {
  const climb = climbOf(p, run), blocks = byFlow(climb.blocks), over = ended(run), i = run.inputs ?? {};
  return {key: `${run.id}/curve`, ...ofRun(p, run), end: 'tip', question: t(blocks.length ? 'curve.q' : 'curve.q0'), reason: blocks.length ? t('curve.reason', {block: mm(i.block_mm ?? 50)}) : '',
    long: [el('div', {class: 'controls wide'}, blocks.length ? numbers(blocks) : null, blocks.length ? el('p', {class: 'note'}, t('curve.legend')) : null, ...facts(p, run, climb), ...lines(p, run))],
    foot: [{label: t(over ? 'curve.back' : 'curve.toRun'), go: `#/runs/${run.id}`}]};
}

/** Columns, each with its head and what a block has in it; one that none has anything in is left out. @type {Array<[TextID, (b: Block) => string]>} */
const COLUMNS = [['curve.speed', (b) => known(b.speed) ? num(b.speed, 2, true) : ''], ['curve.fed', (b) => known(b.fed) ? num(b.fed, 1, true) : t('curve.unread')], ['curve.u95', (b) => known(b.u95) ? plusMinus(b.u95) : ''],
  ['curve.c', (b) => known(b.nozzleC) ? num(b.nozzleC, 0) : ''], ['curve.said', (b) => b.said ? t(/** @type {TextID} */ (`flow.said.${b.said}`)) : '']];

/** @param {Block[]} blocks */
function numbers(blocks) {
  const columns = COLUMNS.filter(([, cell]) => blocks.some((b) => cell(b) !== ''));
  return table({caption: t('curve.caption'), heads: [[t('curve.flow'), ...columns.map(([head]) => t(head))]], parts: blocks.map((b) => [[num(b.flow), ...columns.map(([, cell]) => cell(b))]]), cls: 'curve'});
}

/** @param {Page} p @param {Run} run @param {import('../climb.mjs').Climb} climb @returns {Kid[]} */
function facts(p, run, climb) {
  const found = valueOf(run, 'falls_at_mm3_per_s'), notes = run.finding?.notes?.filter((n) => !n.startsWith('Left out')) ?? [], read = readOf(climb.blocks).length > 0;
  return [found ? el('p', {class: 'fact'}, t('curve.level', {level: num(climb.level, 1), line: num(climb.level - climb.tolerance, 1)})) : read ? el('p', {class: 'fact'}, t('curve.line', {tolerance: num(climb.tolerance)})) : null,
    climb.skipped.length ? el('p', {class: 'fact'}, t('curve.skipped', {flows: climb.skipped.map((v) => num(v)).join(', ')})) : null, ...notes.map((n) => el('p', {class: 'fact'}, n))];
}

/** How fast another line may be laid: two lengths, and what they come to. @param {Page} p @param {Run} run @returns {Kid[]} */
function lines(p, run) {
  const work = valueOf(run, 'flow_limit_mm3_per_s')?.value;
  if (!known(work)) return [];
  const key = `${run.id}/curve`, bore = p.state.printers[run.printer]?.setup?.nozzle_bore_mm, suits = known(bore) && bore > 0 ? usualLine(bore) : null, fields = sheafOf(key).fields;
  /** @param {string} name @param {TextID} label @param {number|undefined} usual @returns {Field} */
  const field = (name, label, usual) => ({name, label: t(label), kind: 'number', unit: 'mm', default: usual});
  const asked = [field('width', 'speed.width', suits?.width), field('height', 'speed.height', suits?.height)], [width, height] = asked.map((f) => parseNumber(fields[f.name] ?? String(f.default ?? '')));
  const speed = topSpeed(work, width, height), [before, told, after] = t('speed.is', {speed: num(speed, 0), flow: num(work), width: num(width), height: num(height)}).split('|');
  return [el('h2', {class: 'another-line'}, t('speed.head')), el('div', {class: 'lengths'}, form(asked, fields, (name, text) => p.deeds.write(key, {fields: {...sheafOf(key).fields, [name]: text}}), null)),
    el('p', {class: 'top-speed', role: 'status'}, known(speed) && speed < 1e5 ? [before, el('b', null, told), after] : t('speed.none')), el('p', {class: 'note'}, t('speed.formula'))];
}
