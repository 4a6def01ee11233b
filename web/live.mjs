// The socket that tells what changes. It comes back by itself: when the page is seen again, when the network is back, when
// nothing was heard for 10 s. A phone that slept is told late that its socket died, so its word is not waited for.

import {SILENT_MS} from './state.mjs';

const RETRY_MS = [300, 1000, 2000, 4000];
const HEARTBEAT_MS = 1000; // so often silence is looked for

/**
 * @param {{url: () => string, hear: (message: any) => void, link: (up: boolean) => void, failed: () => void}} o
 *   url of the next try, '' while none is wanted; hear each message; failed: a try that never opened
 * @returns {{close: () => void}}
 */
export function follow(o) {
  /** @type {WebSocket|null} */
  let socket = null;
  let tries = 0, heardAt = 0, closed = false;
  /** @type {ReturnType<typeof setTimeout>|undefined} */
  let retry;

  function open() {
    clearTimeout(retry);
    drop();
    const url = o.url();
    if (!url) return later();
    const s = socket = new WebSocket(url);
    let opened = false;
    heardAt = Date.now();
    s.onmessage = (e) => {
      if (s !== socket) return;
      opened = true;
      tries = 0;
      heardAt = Date.now();
      o.hear(JSON.parse(e.data));
    };
    s.onclose = () => {
      if (s !== socket) return;
      socket = null;
      o.link(false);
      if (!opened) o.failed();
      later();
    };
  }

  function later() {
    if (closed) return;
    clearTimeout(retry);
    retry = setTimeout(open, RETRY_MS[Math.min(tries++, RETRY_MS.length - 1)]);
  }

  function drop() {
    const old = socket;
    socket = null;
    // A socket that is closed before it is open is a warning in the browser's console.
    if (old?.readyState === 0) old.onopen = () => old.close(); // CONNECTING, by the HTML standard
    else old?.close();
  }

  /** Something happened after which a socket is often dead without knowing it. */
  function doubt() {
    if (closed || document.visibilityState === 'hidden') return;
    if (!socket || Date.now() - heardAt > SILENT_MS / 2) open();
  }

  const watch = setInterval(() => {
    if (!socket || Date.now() - heardAt <= SILENT_MS) return;
    o.link(false);
    open();
  }, HEARTBEAT_MS);
  document.addEventListener('visibilitychange', doubt);
  addEventListener('pageshow', doubt);
  addEventListener('online', open);
  open();

  return {close() {
    closed = true;
    clearTimeout(retry);
    clearInterval(watch);
    document.removeEventListener('visibilitychange', doubt);
    removeEventListener('pageshow', doubt);
    removeEventListener('online', open);
    drop();
  }};
}

/** The address of a socket of this agent. @param {string} path */
export const socketURL = (path) => `${location.protocol === 'https:' ? 'wss' : 'ws'}://${location.host}${path}`;
