// The words of the flow limit, by place.

export const FLOW = Object.freeze({
});
