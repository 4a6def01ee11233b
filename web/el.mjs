// A page is a tree of plain objects; show makes the document match it. Nodes that stay keep their focus and what is typed
// into them. Text goes in as text and nothing else, so a printer's own words can never become markup.

/** @typedef {Node_|string|number|null|undefined|false} Kid */
/** @typedef {{tag: string, props: Record<string, any>, kids: Array<Node_|string>}} Node_ */

const SVG = 'http://www.w3.org/2000/svg';
const SVG_TAGS = new Set(['svg', 'g', 'path', 'line', 'rect', 'circle', 'ellipse', 'polygon', 'polyline', 'text', 'tspan',
  'title', 'desc', 'defs', 'pattern', 'clipPath', 'use']);

/**
 * Describes an element. Props: `class`, attributes, `on` ({click: fn}), `vars` (custom properties), `value` (of inputs),
 * `key` (never reused for another key). A prop that is null or false is left out.
 * @param {string} tag
 * @param {Record<string, any>|null} [props]
 * @param {...(Kid|Kid[])} kids
 * @returns {Node_}
 */
export function el(tag, props, ...kids) {
  /** @type {Array<Node_|string>} */
  const flat = [];
  for (const k of kids.flat(3)) {
    if (k === null || k === undefined || k === false || k === '') continue;
    flat.push(typeof k === 'number' ? String(k) : /** @type {Node_|string} */ (k));
  }
  return {tag, props: props ?? {}, kids: flat};
}

/** @typedef {Element & {$on?: Record<string, (e: any) => void>, $key?: string, $attrs?: string[]}} Live */

/** Makes the children of root match kids. @param {Element} root @param {Kid[]} kids */
export function show(root, kids) {
  patchKids(root, el('x', null, kids).kids);
}

/** @param {Node_} n @returns {Live} */
function make(n) {
  const svg = SVG_TAGS.has(n.tag);
  /** @type {Live} */
  const node = svg ? document.createElementNS(SVG, n.tag) : document.createElement(n.tag);
  node.$key = n.props.key;
  patchProps(node, n.props);
  patchKids(node, n.kids);
  return node;
}

/** @param {Element} parent @param {Array<Node_|string>} kids */
function patchKids(parent, kids) {
  kids.forEach((kid, i) => {
    const now = parent.childNodes[i];
    if (typeof kid === 'string') {
      if (now?.nodeType === 3) {
        if (now.nodeValue !== kid) now.nodeValue = kid;
      } else {
        put(parent, document.createTextNode(kid), now);
      }
      return;
    }
    const live = /** @type {Live|undefined} */ (now?.nodeType === 1 ? now : undefined);
    if (live && live.localName === kid.tag && live.$key === kid.props.key) {
      patchProps(live, kid.props);
      patchKids(live, kid.kids);
    } else {
      put(parent, make(kid), now);
    }
  });
  while (parent.childNodes.length > kids.length) parent.lastChild?.remove();
}

/** @param {Element} parent @param {Node} node @param {ChildNode|undefined} old */
function put(parent, node, old) {
  if (old) old.replaceWith(node);
  else parent.append(node);
}

/** @param {Live} node @param {Record<string, any>} props */
function patchProps(node, props) {
  const attrs = [];
  for (const [name, v] of Object.entries(props)) {
    if (v === null || v === undefined || v === false) continue;
    if (name === 'key') continue;
    else if (name === 'on') listen(node, v);
    else if (name === 'vars') for (const [k, x] of Object.entries(v)) /** @type {HTMLElement} */ (node).style.setProperty(k, String(x));
    else if (name === 'value') setValue(/** @type {HTMLInputElement} */ (node), String(v));
    else {
      const text = v === true ? '' : String(v);
      if (node.getAttribute(name) !== text) node.setAttribute(name, text);
      attrs.push(name);
    }
  }
  if (!props.on) node.$on = {};
  for (const old of node.$attrs ?? []) if (!attrs.includes(old)) node.removeAttribute(old);
  node.$attrs = attrs;
}

/** @param {HTMLInputElement} input @param {string} v */
function setValue(input, v) {
  if (input.value !== v) input.value = v;
}

/** @param {Live} node @param {Record<string, (e: any) => void>} on */
function listen(node, on) {
  const heard = /** @type {any} */ (node).$heard ??= new Set();
  for (const kind of Object.keys(on)) {
    if (heard.has(kind)) continue;
    heard.add(kind);
    node.addEventListener(kind, (e) => node.$on?.[kind]?.(e));
  }
  node.$on = on;
}
