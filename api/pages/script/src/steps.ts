// Steps along a slider.

import { roundDose } from "./figures.js";

export type Direction = -1 | 1;

/** Doses nearer than this are the same. */
const same = 1e-6;

/** The next whole graduation above or below a dose, within the slider. */
export function nextGraduation(dose: number, step: number, largest: number, direction: Direction): number {
  const steps = dose / step;
  const next = direction > 0 ? Math.floor(steps + same) + 1 : Math.ceil(steps - same) - 1;
  return roundDose(Math.min(Math.max(next * step, 0), largest));
}

/** The next rung above or below a dose; the dose itself where there is none. */
export function nextRung(dose: number, rungs: readonly number[], direction: Direction): number {
  if (direction > 0) return rungs.find((rung) => rung > dose + same) ?? dose;
  return rungs.filter((rung) => rung < dose - same).at(-1) ?? dose;
}
