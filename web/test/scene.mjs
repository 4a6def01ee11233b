// What a figure is drawn from, with nothing in it, with a question open, with the machine at work, and at the end of a run.

/** @typedef {import('../shapes/figure.mjs').Scene} Scene */

const draft = {text: '', value: null, derived: null, verdict: /** @type {const} */ ('empty')};

/** @param {any} over @returns {Scene} */
export const scene = (over = {}) => ({question: null, shown: {}, run: null, printer: null, draft, nozzleC: NaN, step: 0, pick: '', type: () => {}, choose: () => {}, ...over});

/** @param {Record<string, any>} shown @param {any} [over] an open question that shows these numbers */
export const asking = (shown, over = {}) => scene({question: {number: 1, name: 'n', figure: '', text: '', reason: '', fields: [], asked: ''}, shown, ...over});

/** @param {any} doing @param {any} [over] */
export const doing = (doing, over = {}) => scene({run: {inputs: {commanded_mm: 100, pre_feed_mm: 5}, answers: [], doing}, ...over});

/** @param {string} kind @param {any[]} values @param {any[]} [budget] */
export const ended = (kind, values, budget = []) => scene({run: {inputs: {commanded_mm: 100}, answers: [], finding: {kind, headline: '', reason: '', values, budget}}});
