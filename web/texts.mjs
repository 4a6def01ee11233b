// Every text of the pages by its id. What the agent says (questions, reasons, findings) comes from the agent.

const TEXTS = {
  'mark.title': 'The filament above the inlet',
  'mark.desc': 'The mark belongs {mark} mm above the face of the inlet.',
  'leftover.title': 'The mark above the inlet, to scale',
  'leftover.desc': 'The first mark was {mark} mm above the inlet. Nothing is entered yet.',
  'leftover.desc2': 'The first mark was {mark} mm above the inlet; now it is {left} mm above it.',
};

/** @typedef {keyof typeof TEXTS} TextID */

/** A text with its blanks filled in. @param {TextID} id @param {Record<string, string|number>} [fill] */
export const t = (id, fill = {}) => TEXTS[id].replace(/\{(\w+)\}/g, (_, name) => String(fill[name] ?? ''));

/** A length as it is shown: at most two decimals. @param {number} x */
export const mm = (x) => String(Math.round(x * 100) / 100);
