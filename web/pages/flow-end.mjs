// What a flow limit ended with, and the way on from it.

import {climbOf, readOf} from '../climb.mjs';
import {el} from '../el.mjs';
import {num} from '../figures/words.mjs';
import {scene} from '../page.mjs';
import {t} from '../texts.mjs';

/** To what was measured block by block, also of a climb that broke off. @param {Run} run @param {import('../climb.mjs').Climb} climb @returns {Way[]} */
export const toNumbers = (run, climb) => climb.blocks.length || climb.skipped.length ? [{label: t('flow.numbers'), go: `#/runs/${run.id}/curve`}] : [];

/** @param {Page} p @param {Sheet} s @param {Run} run @param {Finding} f @returns {Sheet} */
export function flowFinding(p, s, run, f) {
  const climb = climbOf(p, run), read = readOf(climb.blocks), drawn = f.kind !== 'failed' && read.length > 0, last = climb.blocks.at(-1), [first, ...more] = f.notes ?? [];
  return {...s, question: `${f.headline}.`, reason: f.reason, reasonGives: true, end: 'tip', figure: drawn ? 'flow_limit' : 'failed',
    scene: scene({run, printer: p.state.printers[run.printer] ?? null, shown: drawn ? {...climb} : {words: last ? t('flow.failed', {flow: num(last.flow)}) : t('flow.failed0')}}),
    entry: [first && el('p', {class: 'fact'}, first), ...more.map((n) => el('p', {class: 'fact more'}, n))],
    action: {label: t(WAYS[f.kind] ?? 'ended.again'), go: f.kind === 'found' ? `#/dockets/${run.printer}/${run.material ?? ''}` : `#/begin/${run.printer}/flow_limit`},
    links: [...toNumbers(run, climb), {label: t('ended.leave'), go: `#/printers/${run.printer}`}]};
}

/** @type {Record<string, TextID>} */
const WAYS = {found: 'ladder.to.found', at_least: 'flow.faster', too_fast: 'flow.slower', too_few: 'flow.again', short: 'flow.again', failed: 'flow.again'};
