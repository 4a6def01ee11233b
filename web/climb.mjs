// What a climb to the flow limit has measured, from wherever it stands: the run's own entries, or what its question shows.
// Pure.

import {known} from './figures/words.mjs';

/**
 * One length fed at one flow. said: clicking, grinding, mark_went_in, filament_came_out, or nothing.
 * @typedef {{flow: number, speed?: number, fed?: number, u95?: number, nozzleC?: number, said: string}} Block  mm³/s, mm/s of filament, %, %, °C
 */

/** @typedef {{blocks: Block[], flows: number[], skipped: number[], tolerance: number, level: number, targetC?: number}} Climb  level: %, from which it falls */

/** @param {string|undefined} routine */
export const isFlow = (routine) => routine === 'flow_limit';

/** By flow, slowest first: in the order of feeding the blocks between come last. @param {Block[]} blocks */
export const byFlow = (blocks) => [...blocks].sort((a, b) => a.flow - b.flow);

/** Those of which a length was read. @param {Block[]} blocks @returns {Array<Block & {fed: number}>} */
export const readOf = (blocks) => /** @type {any} */ (blocks.filter((b) => known(b.flow) && known(b.fed)));

/** @param {Page} p @param {Run} run @returns {Climb} */
export function climbOf(p, run) {
  const mine = (p.state.entries[run.printer] ?? []).filter((e) => e.run === run.id), end = mine.findLast((e) => e.kind === 'flow_limit_mm3_per_s' || e.kind === 'flow_short')?.body;
  const shown = shownOf(p, run), entered = mine.filter((e) => e.kind === 'flow_block' && known(e.body?.flow_mm3_per_s)).map(ofEntry), told = list(shown.read).map(ofRead);
  const blocks = entered.length >= told.length ? entered : told;
  return {blocks, flows: list(shown.flows_mm3_per_s), skipped: list(end?.skipped_mm3_per_s ?? shown.skipped_mm3_per_s), level: 100 - ([end?.short_percent, valueOf(run, 'short_percent')?.value].find(known) ?? 0),
    tolerance: [end?.tolerance_percent, shown.tolerance_percent, run.inputs?.tolerance_percent].find(known) ?? 2, targetC: shown.target_c ?? end?.nozzle_c};
}

/** The numbers of the open question, or of the last that was asked. @param {Page} p @param {Run} run @returns {any} */
const shownOf = (p, run) => run.question?.shown?.flows_mm3_per_s ? run.question.shown
  : (p.state.events[run.id] ?? []).findLast((e) => e.kind === 'asked' && e.body?.shown?.flows_mm3_per_s)?.body.shown ?? {};

/** @param {any} x @returns {any[]} */
const list = (x) => Array.isArray(x) ? x : [];

/** @param {Entry} e @returns {Block} */
const ofEntry = (e) => ({flow: e.body.flow_mm3_per_s, speed: e.body.speed_mm_per_s, fed: known(e.body.fed_part) ? 100 * e.body.fed_part : undefined,
  u95: known(e.u95) && e.body.feed?.commanded_mm > 0 ? 100 * e.u95 / e.body.feed.commanded_mm : undefined, nozzleC: e.body.feed?.nozzle_c || undefined, said: e.body.instead ?? ''});

/** @param {any} r @returns {Block} */
const ofRead = (r) => ({flow: r.flow_mm3_per_s, fed: r.fed_percent, u95: r.u95_percent, nozzleC: r.nozzle_c || undefined, said: r.instead ?? ''});

/** The finding's value, if it is there. @param {Run} run @param {string} name */
export const valueOf = (run, name) => run.finding?.values?.find((v) => v.name === name);

/** How fast a head may go at a flow, mm/s: the flow over the section of the line, taken as a rectangle. Undefined where there is no section. @param {number} flowMM3PerS @param {number|null} widthMM @param {number|null} heightMM */
export const topSpeed = (flowMM3PerS, widthMM, heightMM) => widthMM && heightMM && widthMM > 0 && heightMM > 0 ? flowMM3PerS / (widthMM * heightMM) : undefined;

/** A printed line that suits a nozzle, mm wide and high: as the finding's own top speed has it. @param {number} boreMM */
export const usualLine = (boreMM) => ({width: Math.round(112.5 * boreMM) / 100, height: Math.round(62.5 * boreMM) / 100});

const STEPS = 8, MARKS_MM = 30, HEATING_S = 180, READING_S = 45; // of a climb; and what heating and one reading take, about: common practice, no source

/** What a climb of so many flows feeds at most, mm: two blocks more close in on the limit, and before each mark the play is taken up. @param {number} flows @param {number} blockMM */
export const lengthMM = (flows, blockMM) => (flows + 2) * blockMM + MARKS_MM;

/**
 * How much a climb takes at most: mm of filament and s, with the two blocks that close in on the limit.
 * @param {number} fastest mm³/s @param {number} blockMM @param {number} diameterMM of the filament @param {number} [mostMMPerS] the setup's own limit
 */
export function cost(fastest, blockMM, diameterMM, mostMMPerS) {
  const area = Math.PI / 4 * diameterMM * diameterMM, most = (mostMMPerS ?? Infinity) * area;
  const flows = Array.from({length: STEPS}, (_, i) => fastest * (i + 1) / STEPS).filter((flow) => flow <= most), last = flows.at(-1) ?? fastest;
  const blocks = flows.length + 2, feedingS = [...flows, last, last].reduce((s, flow) => s + blockMM * area / flow, 0);
  return {filamentMM: lengthMM(flows.length, blockMM), seconds: HEATING_S + blocks * READING_S + feedingS, flows: flows.length};
}
