// Hardware keys, and calipers that type like a keyboard: they do what the pad does, wherever the focus is.

/** @param {() => Sheet} sheet the page as it is now */
export function listen(sheet) {
  addEventListener('keydown', (e) => {
    if (e.ctrlKey || e.metaKey || e.altKey || e.defaultPrevented) return;
    const on = /** @type {HTMLElement|null} */ (e.target);
    if (on?.localName === 'textarea') return;
    const typing = on?.localName === 'input', pressing = on?.localName === 'button' || on?.localName === 'a';
    const key = keyOf(e.key);
    if (!key || (typing && key !== 'enter') || (pressing && key === 'enter')) return;
    const page = sheet(), arrow = ARROWS[e.key], take = /** @type {((k: string) => void)|undefined} */ (arrow ? page.arrows : page.keys);
    if (!take || on?.closest('.pick') && key === 'enter') return;
    e.preventDefault();
    take(key);
  });
}

/** @type {Record<string, string>} */
const ARROWS = {ArrowUp: 'up', ArrowDown: 'down', ArrowLeft: 'left', ArrowRight: 'right'};

/** @param {string} key of the keyboard */
function keyOf(key) {
  if (/^\d$/.test(key)) return key;
  return ARROWS[key] ?? {'.': '.', ',': '.', Decimal: '.', Backspace: 'back', Enter: 'enter'}[key] ?? '';
}
