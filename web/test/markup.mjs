// A tree of nodes as markup: what a test or a sheet of figures reads, without a document.

/** @typedef {import('../el.mjs').Node_} Node_ */

/** @param {string} s */
const escape = (s) => s.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/"/g, '&quot;');

/** @param {Node_|string} n @returns {string} */
export function markup(n) {
  if (typeof n === 'string') return escape(n);
  const props = Object.entries(n.props).filter(([k, v]) => k !== 'on' && k !== 'key' && v !== null && v !== undefined && v !== false);
  return `<${n.tag}${props.map(([k, v]) => ` ${k}="${escape(String(v))}"`).join('')}>${n.kids.map(markup).join('')}</${n.tag}>`;
}
