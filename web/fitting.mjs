// The questions about what a printer is fitted with, in their order, and the setup that the answers make. Pure.

/**
 * @typedef {object} Step
 * @property {string} name
 * @property {'number'|'choice'|'lines'} kind
 * @property {TextID} question
 * @property {TextID} reason
 * @property {TextID} short
 * @property {string} usual       as typed
 * @property {string} [unit]
 * @property {number} [min]
 * @property {number} [max]
 * @property {Choice[]} [choices]
 * @property {string} [figure]
 * @property {boolean} [optional] it may be left empty
 * @property {'tube'} [part]        the part of the setup that it belongs to
 */

import {t} from './texts.mjs';

/** @param {TextID[]} ids @returns {Choice[]} by the last word of the id */
const choices = (...ids) => ids.map((id) => ({value: id.split('.')[2], label: t(id)}));

/** @param {string} name @param {string} unit @param {number} min @param {number} max @param {number|undefined} usual none: a limit that somebody must read from the manual @param {string} [figure] @returns {Step} */
const number = (name, unit, min, max, usual, figure) => ({name, kind: 'number', unit, min, max, usual: usual === undefined ? '' : String(usual), figure,
  question: /** @type {TextID} */ (`fit.${name}`), reason: /** @type {TextID} */ (`fit.${name}.why`), short: /** @type {TextID} */ (`fit.${name}.short`)});

/** @param {string} name @param {string} usual @param {Choice[]} list @param {string} [figure] @returns {Step} */
const choice = (name, usual, list, figure) => ({name, kind: 'choice', usual, choices: list, figure,
  question: /** @type {TextID} */ (`fit.${name}`), reason: /** @type {TextID} */ (`fit.${name}.why`), short: /** @type {TextID} */ (`fit.${name}.short`)});

/** @param {string} name @param {string[]|undefined} now @returns {Step} */
const lines = (name, now) => ({...choice(name, (now ?? []).join('\n'), []), kind: 'lines', optional: true});

export const MOST_TURNS = 40;

/**
 * What a filament that is pushed must move before it pulls, mm: from the outer to the inner wall of each bend. Two arcs
 * of one angle differ in length by the angle times the difference of their radii (geometry of the textbook).
 * @param {number} turns quarter turns, whatever their direction @param {number} boreMM @param {number} filamentMM
 */
export const slackMM = (turns, boreMM, filamentMM) => turns * Math.PI / 2 * Math.max(0, boreMM - filamentMM);

/** @param {Setup|null} now what is stored @param {Record<string, string>} said @returns {Step[]} */
export function stepsOf(now, said) {
  const drive = said.drive ?? now?.drive ?? '', tube = now?.tube;
  return [
    choice('drive', now?.drive ?? '', choices('fit.drive.direct', 'fit.drive.bowden'), 'drive'),
    ...(drive === 'bowden' ? [
      number('bore_mm', 'mm', 1, 6, tube?.bore_mm ?? 2), number('length_mm', 'mm', 10, 5000, tube?.length_mm ?? 600),
      number('quarter_turns', '', 0, MOST_TURNS, tube?.quarter_turns ?? 3, 'tube'), number('coupler_play_mm', 'mm', 0, 5, tube?.coupler_play_mm ?? 0.5),
      {...number('outer_mm', 'mm', 1.5, 12, tube?.outer_mm), optional: true},
    ].map((s) => ({...s, part: /** @type {const} */ ('tube')})) : []),
    choice('liner', now?.liner ?? 'unknown', choices('fit.liner.all_metal', 'fit.liner.fluoropolymer', 'fit.liner.unknown'), 'liner'),
    number('filament_diameter_mm', 'mm', 1, 3.2, now?.filament_diameter_mm ?? 1.75),
    number('nozzle_bore_mm', 'mm', 0.1, 2, now?.nozzle_bore_mm ?? 0.4),
    number('nozzle_max_c', '°C', 150, 350, now?.nozzle_max_c), number('bed_max_c', '°C', 0, 150, now?.bed_max_c),
    number('feed_max_mm_per_s', 'mm/s', 0.5, 100, now?.feed_max_mm_per_s),
    number('build_x_mm', 'mm', 50, 2000, now?.build_x_mm), number('build_y_mm', 'mm', 50, 2000, now?.build_y_mm), number('build_z_mm', 'mm', 50, 2000, now?.build_z_mm),
    choice('retracts', now?.retracts ?? '', [...choices('fit.retracts.firmware', 'fit.retracts.slicing_program'), {value: '', label: t('fit.retracts.unsaid')}]),
    {...number('cold_side_mm', 'mm', 1, 200, now?.cold_side_mm), optional: true}, lines('before', now?.before), lines('after', now?.after),
    choice('switch', now?.switch ?? '', ['back, left', 'back, right', 'back', 'left', 'right', 'front'].map((w) => ({value: w, label: w})), 'switch'),
  ];
}

/** One line each, without those that say nothing. @param {string} text */
export const linesOf = (text) => text.split('\n').map((l) => l.trim()).filter(Boolean);

/** The setup that was said, on top of what is stored: the gear is kept. @param {Setup|null} now @param {Record<string, string>} said */
export function setupOf(now, said) {
  /** @type {Record<string, any>} */
  const whole = {...now}, tube = /** @type {Record<string, number>} */ ({});
  delete whole.version;
  delete whole.tube;
  for (const s of stepsOf(now, said)) {
    const text = said[s.name] ?? s.usual;
    if (s.optional && text.trim() === '') delete whole[s.name];
    else if (s.kind === 'lines') whole[s.name] = linesOf(text);
    else if (s.part === 'tube') tube[s.name] = Number(text);
    else if (s.kind === 'number') whole[s.name] = Number(text);
    else if (text || s.name === 'retracts') whole[s.name] = text;
  }
  if (Object.keys(tube).length) whole.tube = tube;
  return whole;
}
