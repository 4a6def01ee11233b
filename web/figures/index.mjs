// Which figure draws what. A name that is not here is drawn by nothing: the page shows question, pad and choices alone.

import {leftover, mark} from './inlet.mjs';

/** @typedef {import('./figure.mjs').Figure} Figure */

/**
 * By the `figure` of a question; by `doing: ` and what the machine does; by the name a page asks for.
 * @type {Readonly<Record<string, Figure>>}
 */
export const figures = Object.freeze({
  mark,
  leftover,
});

/** @param {string} name @returns {Figure|null} */
export const figureOf = (name) => Object.hasOwn(figures, name) ? figures[name] : null;
