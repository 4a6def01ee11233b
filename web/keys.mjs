// Hardware keys, and calipers that type like a keyboard: they do what the pad does, wherever the focus is.

/** @param {() => import('./sheet.mjs').Sheet} sheet the page as it is now */
export function listen(sheet) {
  addEventListener('keydown', (e) => {
    if (e.ctrlKey || e.metaKey || e.altKey || e.defaultPrevented) return;
    const on = /** @type {HTMLElement|null} */ (e.target);
    const typing = on?.localName === 'input', pressing = on?.localName === 'button' || on?.localName === 'a';
    const key = keyOf(e.key);
    if (!key || (typing && key !== 'enter') || (pressing && key === 'enter')) return;
    const take = sheet().keys;
    if (!take) return;
    e.preventDefault();
    take(key);
  });
}

/** @param {string} key of the keyboard */
function keyOf(key) {
  if (/^\d$/.test(key)) return key;
  return {'.': '.', ',': '.', Decimal: '.', Backspace: 'back', Enter: 'enter'}[key] ?? '';
}
