// Numbers as a table, for who cannot see the drawing above it, or wants each of them.

import {el} from './el.mjs';

/** @typedef {string|{words: Kid|Kid[], across?: number, down?: number, cls?: string}} Cell */

/** @param {string} tag @param {Cell} c @param {Record<string, any>} [props] */
const cell = (tag, c, props = {}) => typeof c === 'string' ? el(tag, props, c) : el(tag, {...props, class: c.cls, colspan: c.across, rowspan: c.down}, c.words);

/** A row of heads. @param {Cell[]} cells */
const heads = (cells) => el('tr', null, cells.map((c) => cell('th', c, {scope: typeof c !== 'string' && (c.across ?? 1) > 1 ? 'colgroup' : 'col'})));

/**
 * Each part is what belongs together: its first row begins with the name of the part, which may reach over all of its rows.
 * @param {{caption: string, heads: Cell[][], parts: Cell[][][], cls?: string}} o
 */
export const table = (o) => el('table', {class: `numbers ${o.cls ?? ''}`}, el('caption', null, o.caption), el('thead', null, o.heads.map(heads)),
  o.parts.map((rows) => el('tbody', null, rows.map((cells, i) => el('tr', null, cells.map((c, n) => i === 0 && n === 0 ? cell('th', c, {scope: rows.length > 1 ? 'rowgroup' : 'row'}) : cell('td', c)))))));
