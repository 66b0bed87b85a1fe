// The toy's path, for tests of what is looked up in it and drawn of it.

import { toyData } from "../fixture/toy.mjs";
import type { Trace } from "../src/data.js";

export function toyTrace(): Trace {
  const [slider] = toyData().sliders;
  if (!slider) throw new Error("the toy has no slider");
  return slider.trace;
}
