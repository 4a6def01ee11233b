// What a figure is. A figure draws one question (or what the machine does) in the column's own pixels, as a pure function
// from a Scene to a tree of SVG: it keeps nothing, asks no clock and touches no document. example: inlet.mjs.
//
// To add one: export a Figure from its own file, add one line to index.mjs. Its words go into texts-drawn.mjs.

/**
 * The paper. x = 0 is the page's left edge, y = 0 the figure's top. All in CSS pixels.
 * @typedef {object} Frame
 * @property {number} width    of the column; a hairline to the page's edge ends here
 * @property {number} height   of the figure: what is left of the screen, never less than the figure's `least`
 * @property {number} sx       the axis of the strand
 * @property {number} col      left edge of the text
 * @property {number} right    right edge of the text
 * @property {boolean} narrow  under 360 px wide
 * @property {boolean} still   the person asked for less motion
 */

/**
 * What is half typed, judged.
 * @typedef {object} Draft
 * @property {string} text              as typed
 * @property {number|null} value        null while it is no number
 * @property {number|null} derived      a + b x of the question, where it has such a line
 * @property {'empty'|'fine'|'unlikely'|'impossible'|'refused'} verdict
 */

/**
 * What a figure is drawn from.
 * @typedef {object} Scene
 * @property {Question|null} question
 * @property {any} shown                the question's numbers, {} where there are none
 * @property {Run|null} run
 * @property {Printer|null} printer
 * @property {Draft} draft
 * @property {boolean} typing            the pad and its readout are open: the figure leaves the number to them
 * @property {number} nozzleC           newest reading; NaN where none was heard
 * @property {number} step              which of several points is shown: a caution's index; its words are then shown.point
 * @property {string} pick              what is chosen in a choice that is not sent yet
 * @property {(text: string) => void} type     writes the draft, as the pad does: for dragging
 * @property {(value: string) => void} choose  picks a choice: for a plan that is touched
 */

/**
 * @typedef {object} Figure
 * @property {'beside'|'between'|'above'} place  beside: the figure fills the column down to the dock and the controls stand
 *   over it, right of `inset`. between: it stands between reason and action. above: it stands over the question and draws its own number.
 * @property {'carries'|'ends'|'turns'} strand   carries: the page's strand (14 px, axis sx) enters at y = 0 and the figure
 *   draws it on from there. ends: it was cut above, dashes go on beside the figure. turns: it enters at y = 0 and lies down.
 * @property {number} least                      px it needs to be read at all
 * @property {number} most                       px it can use; what the screen has left is given to it between the two
 * @property {(scene: Scene) => number} [tall]   px it needs on a page that scrolls, where that is more for more to show
 * @property {(frame: Frame) => number} [inset]  where the controls begin, x; `col` where it is not said
 * @property {(scene: Scene) => string} title    one line, for who does not see it
 * @property {(scene: Scene) => string} desc     the numbers it shows, in a sentence
 * @property {(frame: Frame, scene: Scene) => Node_[]} draw
 */

export {};
