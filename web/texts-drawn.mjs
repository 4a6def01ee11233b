// The words of the figures, by figure.

export const DRAWN = Object.freeze({
  'mark.title': 'The filament above the inlet',
  'mark.desc': 'The mark belongs {mark} mm above the face of the inlet.',
  'leftover.title': 'The mark above the inlet, to scale',
  'leftover.desc': 'The first mark was {mark} mm above the inlet. Nothing is entered yet.',
  'leftover.desc2': 'The first mark was {mark} mm above the inlet; now it is {left} mm above it.',
});
