// A flow limit on the strand: each block as what went in of it, and what of the climb is still to come. Pure.

import {known} from './figures/words.mjs';
import {mm, t} from './texts.mjs';

/** @typedef {import('./shapes/types.mjs').Event} Event */

/** A row of its own, null for none at all, undefined where it is as in every run. @param {Event} e @param {Event[]} facts all of the run's @returns {Row|null|undefined} */
export function flowRow(e, facts) {
  const name = e.name ?? '', body = e.body ?? {};
  if (e.kind === 'done' && name === 'read limit') return known(body.setup_mm_per_s) ? {bead: 'ring', strong: `${mm(Math.min(body.setup_mm_per_s, body.firmware_mm_per_s ?? Infinity))}\u00a0mm/s`, words: t('flow.most')} : null;
  if (e.kind === 'done' && /^feed \d/.test(name) && !body.prevented) return {bead: 'ring', strong: `${mm(body.commanded_mm ?? 0)}\u00a0mm`, words: body.nozzle_c ? t('flow.read', {c: Math.round(body.nozzle_c)}) : t('past.asked')};
  if (e.kind !== 'answered') return undefined;
  if (name === 'bite') return {bead: body.bite === 'unseen' ? 'hollow' : 'ring', strong: t('flow.bite'), words: t(/** @type {any} */ (`flow.bite.${body.bite ?? 'unseen'}`))};
  return name.startsWith('leftover') ? fedRow(e, facts) : undefined;
}

/** "99.1 % fed at 6 mm³/s", or what was said instead. @param {Event} e @param {Event[]} facts @returns {Row|undefined} */
function fedRow(e, facts) {
  const shown = facts.find((f) => f.kind === 'asked' && f.question === e.question)?.body?.shown, left = e.body?.leftover_mm, said = e.body?.instead;
  const at = known(shown?.flow_mm3_per_s) ? t('flow.fed', {flow: mm(shown.flow_mm3_per_s)}) : '';
  if (said) return {bead: 'hollow', strong: t(/** @type {any} */ (`flow.said.${said}`)).replace(/^./, (c) => c.toUpperCase()), words: at};
  if (!known(left) || !known(shown?.mark_mm) || !(shown.commanded_mm > 0)) return undefined;
  return {bead: 'ring', strong: `${(100 * (shown.mark_mm - left) / shown.commanded_mm).toFixed(1)}\u00a0%`, words: at};
}

const WAY = /** @type {const} */ (['air', 'present', 'heat', 'mark', 'blocks', 'finding']);

/** Which step a question or deed belongs to. @type {Record<string, typeof WAY[number]>} */
const AT = {air: 'air', present: 'present', heating: 'heat', mark: 'mark', leftover: 'blocks', bite: 'finding'};

/** What is still to come. @param {Run} run @param {string} stem of the question or deed at hand @returns {Row[]} */
export function flowFuture(run, stem) {
  const fed = run.answers.some((a) => a.name.startsWith('leftover')), marked = run.answers.some((a) => a.name.startsWith('mark'));
  const here = fed && stem !== 'bite' ? 'blocks' : AT[stem] ?? (marked ? 'blocks' : run.question ? 'heat' : 'air');
  const flows = run.question?.shown?.flows_mm3_per_s?.length;
  return WAY.slice(WAY.indexOf(here) + 1).map((step) => ({bead: 'none', words: step === 'blocks' ? t('flow.way.blocks') : t(`way.${step}`),
    right: step === 'blocks' && flows ? t('flow.way.n', {n: flows}) : step === 'mark' ? t('way.pen') : undefined}));
}

/** How many blocks a new run would have: those before the last mark that was used up. @param {Event[]} events */
export const wholeBlocks = (events) => Number(/^block (\d+)/.exec(events.findLast((e) => e.kind === 'whole')?.name ?? '')?.[1] ?? 0);
