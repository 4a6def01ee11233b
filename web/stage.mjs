// The stage: where a figure is drawn, in the column's own pixels. Its size is measured after layout and remembered, so that
// the next drawing fits.

import {el} from './el.mjs';
import {hatches} from './figures/pen.mjs';

let width = 390, height = 0, still = false; // of the one stage on the page, as last measured

/** @returns {Frame} */
export function stageSize() {
  const narrow = innerWidth < 360;
  return {width, height, sx: narrow ? 26 : 34, col: narrow ? 56 : 72, right: width - (narrow ? 14 : 20), narrow, still};
}

/** Measures the stage; true where it is not as it was drawn. @param {Element} root */
export function remeasure(root) {
  const box = root.querySelector('.stage');
  if (!box) return false;
  const w = box.clientWidth, h = box.clientHeight;
  const changed = w !== width || h !== height;
  [width, height] = [w, h];
  return changed;
}

/** @param {Figure} figure @param {Scene} scene @param {{still: boolean, over: boolean, extra: number}} o  extra: px that the controls over it need beside its least @param {Kid[]} kids */
export function stage(figure, scene, o, kids) {
  still = o.still;
  const least = figure.tall?.(scene) ?? figure.least, f = {...stageSize(), height: Math.max(height, least)};
  const drawn = figure.draw(f, scene);
  return el('div', {class: `stage ${o.over ? 'over' : 'alone'}`,
    vars: {'min-height': `${least + o.extra}px`, 'max-height': o.over && kids.length ? 'none' : `${Math.max(least, figure.tall ? least : figure.most)}px`, 'flex-basis': o.over ? '0' : `${least}px`}},
    el('svg', {role: drawn.some(hasButton) ? 'group' : 'img', viewBox: `0 0 ${f.width} ${f.height}`, preserveAspectRatio: 'xMinYMin meet'},
      el('title', null, figure.title(scene)), el('desc', null, figure.desc(scene)), hatches(), drawn),
    kids);
}

/** An image is one thing to a screen reader; a drawing that is touched is a group of what can be touched. @param {Node_|string} n @returns {boolean} */
const hasButton = (n) => typeof n !== 'string' && (n.props.role === 'button' || n.kids.some(hasButton));
