// Several lengths against one mark, as the logbook has them: what each reading lies off the straight line of all. Pure.

/** @typedef {import('./figures/residuals.mjs').Stretch & {blocks: Array<{commanded_mm: number, leftover_mm: number}>, mark_mm: number, offset_mm: number}} Kept */

/**
 * How far one reading may be off, mm, U95. All readings of a pass are stated alike, so that it follows from how they scatter
 * about the line, √(Σoff²/(n-2)), and from how many times more than they state that is (the Birge ratio).
 * @param {{off_mm: number[], birge_ratio: number}} line @returns {number|null}
 */
export function readingU95(line) {
  const scatter = Math.sqrt(line.off_mm.reduce((sum, x) => sum + x * x, 0) / Math.max(1, line.off_mm.length - 2));
  return line.birge_ratio > 1e-3 && scatter > 0 ? 2 * scatter / line.birge_ratio : null;
}

/** The passes of a run, in order. @param {Entry[]} entries @param {string} run @returns {Kept[]} */
export function stretchesOf(entries, run) {
  return entries.filter((e) => e.run === run && e.kind === 'feed_pass' && e.body?.line && Array.isArray(e.body.blocks)).map(({body: b}) => ({
    pass: b.pass, curved: Boolean(b.line.curved), u95_mm: readingU95(b.line), blocks: b.blocks, mark_mm: b.mark_mm, offset_mm: b.line.offset_mm,
    reads: b.blocks.map((/** @type {{commanded_mm: number}} */ block, /** @type {number} */ i) => ({at_mm: block.commanded_mm, off_mm: b.line.off_mm[i], stray: (b.line.strays ?? []).includes(block.commanded_mm)})),
  }));
}
