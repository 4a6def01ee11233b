// The words of the ways to measure a feed, by place.

export const WAYS = Object.freeze({
});
