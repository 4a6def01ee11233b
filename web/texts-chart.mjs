// The words of diameter and drift, by place.

export const CHART = Object.freeze({
});
