// The one colour: a material and its three shades, as custom properties, since the policy allows no style attributes.

const NAMES = ['--mat', '--mat-shine', '--mat-left', '--mat-right'];

/**
 * Body, shine and the two shaded sides of a strand. A material that nobody knows is an outline alone.
 * @param {string|undefined} hex "#7C5AA6" @returns {Record<string, string>}
 */
export function shades(hex) {
  const rgb = /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec(hex ?? '')?.slice(1).map((x) => parseInt(x, 16));
  if (!rgb) return Object.fromEntries(NAMES.map((n) => [n, 'var(--film)']));
  const towards = (/** @type {number} */ end, /** @type {number} */ part) => `rgb(${rgb.map((c) => Math.round(c + (end - c) * part)).join(' ')})`;
  return {'--mat': towards(0, 0), '--mat-shine': towards(255, 0.48), '--mat-left': towards(0, 0.18), '--mat-right': towards(0, 0.22)};
}

/** The page takes on a material. @param {string|undefined} hex */
export function paint(hex) {
  for (const [name, value] of Object.entries(shades(hex))) document.documentElement.style.setProperty(name, value);
}
