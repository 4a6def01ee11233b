// What a page is given to draw from, and the small things that many pages share.

import {judge} from './entry.mjs';
import {silent} from './state.mjs';
import {ago, t} from './texts.mjs';

/**
 * @typedef {object} Page
 * @property {State} state
 * @property {number} now            ms
 * @property {string[]} route        of the hash: ['runs', 'r1']
 * @property {Deeds} deeds
 */

/** @param {Page} p @param {string} [id] the printer of a page, or the one that most likely is meant */
export function printerOf(p, id) {
  const all = Object.values(p.state.printers).sort((a, b) => a.id.localeCompare(b.id));
  return (id && p.state.printers[id]) || all.find((x) => x.run) || all[0] || null;
}

/** The material of a run, or the one last used on a printer. @param {Page} p @param {string|undefined} id */
export const materialOf = (p, id) => (id ? p.state.materials[id] ?? null : null);

/** What is most likely loaded: the material last used on a printer, else the first there is. @param {Page} p @param {string} printer @returns {Material|undefined} */
export const loadedOn = (p, printer) => materialOf(p, (p.state.entries[printer] ?? []).findLast((e) => e.material)?.material) ?? Object.values(p.state.materials)[0];

/** "Plum PLA (invented)" in a head is plum PLA. @param {Material|null} m */
export const shortName = (m) => m?.name.replace(/ \(invented\)$/, '') ?? '';

/** The head of a page about one printer. @param {Page} p @param {Printer|null} printer @param {string} sub @param {string} state */
export function head(p, printer, sub, state) {
  if (silent(p.state, p.now)) {
    return {name: printer?.name ?? 'Fettle', sub, state: 'silent', note: p.state.heard ? t('head.silent', {ago: ago((p.now - p.state.heard) / 1000)}) : t('head.waiting')};
  }
  return {name: printer?.name ?? 'Fettle', sub, state};
}

/** What the page of a run has on top: its printer, its material's colour, its head. @param {Page} p @param {Run} run @param {string} [state] */
export function ofRun(p, run, state = run.state) {
  const material = materialOf(p, run.material);
  return {printer: run.printer, colour: material?.colour_hex, head: head(p, p.state.printers[run.printer] ?? null, shortName(material), state)};
}

/** @param {Printer|null} printer */
export const nozzleOf = (printer) => printer?.nozzle?.c ?? NaN;

/** A scene with nothing typed. @param {Partial<Scene>} over @returns {Scene} */
export const scene = (over) => ({question: null, shown: {}, run: null, printer: null, draft: judge('', null), typing: false, nozzleC: NaN, step: 0, pick: '',
  type: () => {}, choose: () => {}, ...over});

/** "back, left": where the printer's own switch is, as a sentence for who must use it. @param {Printer|null} printer */
export const switchOf = (printer) => printer?.setup?.switch ? t('switch.at', {where: printer.setup.switch}) : t('switch.unknown');
