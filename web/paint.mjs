// The one colour: a material and its three shades, set as custom properties, since the policy allows no style attributes.

/** @param {string|undefined} hex "#7C5AA6"; none: an outline alone */
export function paint(hex) {
  const rgb = /^#([0-9a-f]{2})([0-9a-f]{2})([0-9a-f]{2})$/i.exec(hex ?? '')?.slice(1).map((x) => parseInt(x, 16));
  const style = document.documentElement.style;
  const set = (/** @type {string} */ name, /** @type {number} */ towards, /** @type {number} */ part) =>
    rgb ? style.setProperty(name, `rgb(${rgb.map((c) => Math.round(c + (towards - c) * part)).join(' ')})`) : style.removeProperty(name);
  set('--mat', 0, 0);
  set('--mat-shine', 255, 0.48);
  set('--mat-left', 0, 0.18);
  set('--mat-right', 0, 0.22);
}
