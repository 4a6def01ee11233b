// What a test sees of a page that a script inside cannot help but see as well: where a finger lands, and what is out of place.
window.eyes = (() => {
  const shown = (e) => e.getClientRects().length > 0 && getComputedStyle(e).visibility !== 'hidden';

  // Where a finger would touch what a selector and its words find, or null where it is not there or something lies over it.
  function touch(selector, words) {
    const named = (e) => !words || e.textContent.trim() === words || e.getAttribute('aria-label') === words;
    const e = [...document.querySelectorAll(selector)].find((e) => shown(e) && named(e));
    if (!e) return null;
    e.scrollIntoView({block: 'nearest'});
    const r = e.getBoundingClientRect(), x = r.left + r.width / 2, y = r.top + r.height / 2;
    return e.contains(document.elementFromPoint(x, y)) ? [x, y] : null;
  }

  // The same once nothing has moved it for some frames: a page that has just been loaded is still reading its record.
  async function still(selector, words) {
    let last = null;
    for (let same = 0, tries = 0; same < 5 && tries < 120; tries++) {
      await new Promise((done) => requestAnimationFrame(done));
      const at = touch(selector, words);
      same = at && last && at[0] === last[0] && at[1] === last[1] ? same + 1 : 0;
      last = at;
    }
    return last;
  }

  const name = (e) => `${e.localName}${e.id ? '#' + e.id : ''}${[...e.classList].map((c) => '.' + c).join('')} “${(e.getAttribute('aria-label') ?? e.textContent).trim().slice(0, 40)}”`;
  const box = (r) => `${r.width.toFixed(1)} by ${r.height.toFixed(1)} at ${r.left.toFixed(0)},${r.top.toFixed(0)}`;

  const INTERACTIVE = 'a[href], button, input, select, textarea, summary, [role=button], [role=radio], [tabindex]:not([tabindex="-1"])';

  // excepted: selectors of what may be smaller than a fingertip, each with its reason in the test.
  function small(excepted) {
    return [...document.querySelectorAll(INTERACTIVE)].filter((e) => shown(e) && !excepted.some((x) => e.matches(x))).flatMap((e) => {
      const r = e.getBoundingClientRect();
      return r.width < 47.5 || r.height < 47.5 ? [`${name(e)} is ${box(r)}`] : [];
    });
  }

  // What is seen of a thing: the rest is cut off by what scrolls around it.
  function seen(e) {
    let {left, top, right, bottom} = e.getBoundingClientRect();
    for (let up = e.parentElement; up && up !== document.documentElement; up = up.parentElement) {
      if (getComputedStyle(up).overflow === 'visible') continue;
      const r = up.getBoundingClientRect();
      [left, top, right, bottom] = [Math.max(left, r.left), Math.max(top, r.top), Math.min(right, r.right), Math.min(bottom, r.bottom)];
    }
    return {left, top, right, bottom, width: right - left, height: bottom - top};
  }

  // Two things that can be touched and lie over each other: a finger would meet the wrong one. layered: selectors of what
  // lies over others on purpose, each with its reason in the test.
  function crowded(layered) {
    const all = [...document.querySelectorAll(INTERACTIVE)].filter((e) => shown(e) && !layered.some((x) => e.matches(x))).map((e) => ({e, r: seen(e)})).filter(({r}) => r.width > 1 && r.height > 1);
    return all.flatMap((a, i) => all.slice(i + 1).flatMap((b) => {
      const wide = Math.min(a.r.right, b.r.right) - Math.max(a.r.left, b.r.left), high = Math.min(a.r.bottom, b.r.bottom) - Math.max(a.r.top, b.r.top);
      return wide <= 1 || high <= 1 || a.e.contains(b.e) || b.e.contains(a.e) ? [] : [`${name(a.e)} and ${name(b.e)} lie over each other by ${wide.toFixed(0)} by ${high.toFixed(0)}`];
    }));
  }

  // A phone makes its view wider where something sticks out: so the width that was asked for is given.
  function sideways(width) {
    const page = document.scrollingElement, desk = document.getElementById('desk');
    if (page.scrollWidth <= width && innerWidth <= width && desk.scrollWidth <= desk.clientWidth) return [];
    const out = [...document.querySelectorAll('body *')].filter((e) => shown(e) && e.getBoundingClientRect().right > width + 0.5);
    return [`it scrolls sideways: ${page.scrollWidth}, ${innerWidth} and ${desk.scrollWidth} of ${width}; ${out.slice(-3).map(name).join(', ')}`];
  }

  function stop() {
    const e = document.querySelector('.bar .stop');
    if (!e) return ['there is no Stop'];
    const r = e.getBoundingClientRect(), found = [];
    if (r.left > 0.5 || r.right < innerWidth - 0.5 || Math.abs(r.bottom - innerHeight) > 1 || r.top < 0) found.push(`Stop is ${box(r)} in ${innerWidth} by ${innerHeight}`);
    const word = e.querySelector('.word')?.getBoundingClientRect();
    if (!word || !e.contains(document.elementFromPoint(word.left + word.width / 2, word.top + word.height / 2))) found.push('the word of Stop is not Stop where it is touched');
    return found;
  }

  // A page with a question shows question, action and dock together, without scrolling.
  function together() {
    const desk = document.getElementById('desk'), dock = document.getElementById('dock').getBoundingClientRect(), found = [];
    if (desk.scrollHeight > desk.clientHeight + 1) found.push(`${desk.scrollHeight - desk.clientHeight} px do not fit`);
    for (const e of document.querySelectorAll('h1, .reason, .action, .pad, .links, .readout')) {
      if (!shown(e)) continue;
      const r = e.getBoundingClientRect();
      if (r.top < -0.5 || r.bottom > dock.top + 1.5) found.push(`${name(e)} reaches from ${r.top.toFixed(0)} to ${r.bottom.toFixed(0)}, and the dock begins at ${dock.top.toFixed(0)}`);
    }
    return found;
  }

  // Words that are cut off or lie over each other.
  function spilt() {
    const found = [];
    for (const e of document.querySelectorAll('h1, .reason, .action span, .link span, .word, .head b, .head .sub, .past b, .past span, .heat, .cell')) {
      if (!shown(e) || getComputedStyle(e).textOverflow === 'ellipsis') continue;
      if (e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 0 && getComputedStyle(e).overflowX !== 'visible') found.push(`${name(e)} is cut off: ${e.scrollWidth} of ${e.clientWidth}`);
    }
    return found;
  }

  function judge({excepted, layered, whole, width}) {
    return [...sideways(width), ...small(excepted), ...crowded(layered), ...stop(), ...(whole ? together() : []), ...spilt()];
  }

  async function axe() {
    const {violations} = await window.axe.run(document, {resultTypes: ['violations']});
    return violations.flatMap((v) => v.nodes.map((n) => `axe ${v.id} (${v.impact}): ${n.target.join(' ')}: ${(n.failureSummary ?? '').split('\n').slice(1, 3).join(' ')}`));
  }

  // The page has drawn itself for the size and colours that it has now.
  const drawn = () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => requestAnimationFrame(() => done(true)))));

  return {touch, still, judge, axe, drawn};
})();
