// How far a drawing reaches: every point of its shapes, and its words by a guess of their width. For tests.

/** @typedef {import('../el.mjs').Node_} Node_ */
/** @typedef {{x: number, y: number, what: string}} Point */

/** Sizes of the classes that set words, px; as the style sheets have them. */
const SIZE = {'scale-label': 15, 'scale-strong': 15, 'fig-small-bold': 15, 'fig-note': 16, 'fig-note-bold': 16, 'fig-text': 17, 'fig-text2': 17, 'fig-bold': 17, 'fig-line': 21,
  'plus': 22, 'big-unit': 22, 'big-small': 68, 's84': 84, 's68': 68, 's60': 60, 's52': 52, 's40': 40, 's28': 28, 'big': 84};

/** @param {string} cls */
export function sizeOf(cls) {
  const name = Object.keys(SIZE).find((n) => cls.split(' ').includes(n));
  if (!name) throw new Error(`words of the class "${cls}" have no size`);
  return SIZE[/** @type {keyof typeof SIZE} */ (name)];
}

/** All points of a tree. @param {Array<Node_|string>} nodes @returns {Point[]} */
export const pointsOf = (nodes) => nodes.flatMap((n) => typeof n === 'string' ? [] : [...own(n), ...(n.tag === 'text' ? [] : pointsOf(n.kids))]);

/** @param {Node_} n @returns {Point[]} */
function own(n) {
  const p = n.props, at = (/** @type {number} */ x, /** @type {number} */ y) => ({x, y, what: `${n.tag} ${p.class ?? ''}`});
  switch (n.tag) {
    case 'rect': return [at(p.x, p.y), at(p.x + p.width, p.y + p.height)];
    case 'line': return [at(p.x1, p.y1), at(p.x2, p.y2)];
    case 'circle': return [at(p.cx - p.r, p.cy - p.r), at(p.cx + p.r, p.cy + p.r)];
    case 'path': return path(p.d).map(([x, y]) => at(x, y));
    case 'text': return words(n).map(([x, y]) => ({x, y, what: `"${textOf(n)}"`}));
    case 'g': return [];
  }
  throw new Error(`an element that is not measured: ${n.tag}`);
}

/** @param {Node_|string} n @returns {string} */
const textOf = (n) => typeof n === 'string' ? n : n.kids.map(textOf).join('');

/** Width by half an em a character: a little less than any system font has, so that what fails here fails everywhere. @param {Node_} n */
function words(n) {
  const runs = n.kids.map((k) => typeof k === 'string' ? {text: k, size: sizeOf(n.props.class)} : {text: textOf(k), size: sizeOf(k.props.class)});
  const width = runs.reduce((sum, r) => sum + r.text.length * r.size * 0.5, 0), tall = Math.max(0, ...runs.map((r) => r.size)) * 0.72;
  const x0 = n.props.x - ({middle: width / 2, end: width}[/** @type {string} */ (n.props['text-anchor'])] ?? 0);
  return [[x0, n.props.y - tall], [x0 + width, n.props.y]];
}

/** The points of a path; control points stand for their curves, arcs are followed. @param {string} d @returns {Array<[number, number]>} */
export function path(d) {
  const tokens = d.match(/[a-zA-Z]|-?\d*\.?\d+(?:e-?\d+)?/g) ?? [];
  /** @type {Array<[number, number]>} */
  const out = [];
  let x = 0, y = 0, sx = 0, sy = 0, cx = 0, cy = 0, cmd = '', i = 0;
  const next = () => Number(tokens[i++]);
  while (i < tokens.length) {
    if (/[a-zA-Z]/.test(tokens[i] ?? '')) cmd = tokens[i++] ?? '';
    const rel = cmd === cmd.toLowerCase(), ox = rel ? x : 0, oy = rel ? y : 0;
    switch (cmd.toUpperCase()) {
      case 'M': case 'L': x = ox + next(); y = oy + next(); if (cmd.toUpperCase() === 'M') { sx = x; sy = y; cmd = rel ? 'l' : 'L'; } break;
      case 'H': x = ox + next(); break;
      case 'V': y = oy + next(); break;
      case 'C': out.push([ox + next(), oy + next()], [ox + next(), oy + next()]); x = ox + next(); y = oy + next(); break;
      case 'Q': cx = ox + next(); cy = oy + next(); out.push([cx, cy]); x = ox + next(); y = oy + next(); break;
      case 'T': cx = 2 * x - cx; cy = 2 * y - cy; out.push([cx, cy]); x = ox + next(); y = oy + next(); break;
      case 'A': { const r = next(), [, , , sweep] = [next(), next(), next(), next()]; const ex = ox + next(), ey = oy + next(); out.push(...arc(x, y, ex, ey, r, sweep === 1)); x = ex; y = ey; break; }
      case 'Z': x = sx; y = sy; break;
      default: throw new Error(`a path command that is not measured: ${cmd}`);
    }
    out.push([x, y]);
  }
  return out;
}

/** Points of the smaller arc of a circle. @returns {Array<[number, number]>} */
function arc(/** @type {number} */ x0, /** @type {number} */ y0, /** @type {number} */ x1, /** @type {number} */ y1, /** @type {number} */ r, /** @type {boolean} */ sweep) {
  const dx = x1 - x0, dy = y1 - y0, d = Math.hypot(dx, dy), h = Math.sqrt(Math.max(0, r * r - d * d / 4)) * (sweep ? 1 : -1);
  const mx = (x0 + x1) / 2 - dy / d * h, my = (y0 + y1) / 2 + dx / d * h, a0 = Math.atan2(y0 - my, x0 - mx);
  let turn = Math.atan2(y1 - my, x1 - mx) - a0;
  if (sweep && turn < 0) turn += 2 * Math.PI;
  if (!sweep && turn > 0) turn -= 2 * Math.PI;
  return Array.from({length: 9}, (_, k) => [mx + r * Math.cos(a0 + turn * k / 8), my + r * Math.sin(a0 + turn * k / 8)]);
}
