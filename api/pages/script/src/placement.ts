// Labels beside marks, where there is room for them.

export interface Dot {
  x: number;
  y: number;
  r: number;
}

/** A box about its centre. */
export interface Box {
  x: number;
  y: number;
  width: number;
  height: number;
}

export interface Wanted {
  at: Dot;
  /** Of the label. */
  width: number;
  height: number;
  /** Where it stands best, seen from its mark, as a direction of length 1. */
  best: [number, number];
}

const gap = 2;
const slant = Math.SQRT1_2;
const otherwise: readonly [number, number][] = [
  [0, -1], [0, 1], [slant, -slant], [-slant, slant], [-slant, -slant], [slant, slant], [1, 0], [-1, 0],
];

/**
 * A place for each label inside a frame from (0, 0), or null where it would
 * cover a dot or another label. The ends come first, then the middle, so that
 * what is left out is evenly spread.
 */
export function place(wanted: readonly Wanted[], dots: readonly Dot[], width: number, height: number): (Box | null)[] {
  const placed: (Box | null)[] = wanted.map(() => null);
  const taken: Box[] = [];
  for (const i of fromTheEnds(wanted.length)) {
    const label = wanted[i];
    if (!label) continue;
    const box = candidates(label).find(
      (each) => within(each, width, height) && !taken.some((other) => overlap(each, other)) && !dots.some((dot) => covers(each, dot)),
    );
    if (!box) continue;
    placed[i] = box;
    taken.push(box);
  }
  return placed;
}

function candidates({ at, width, height, best: [x, y] }: Wanted): Box[] {
  return [[x, y] as const, [-x, -y] as const, ...otherwise].map(([dx, dy]) => {
    const away = at.r + gap + (Math.abs(dx) * width) / 2 + (Math.abs(dy) * height) / 2;
    return { x: at.x + dx * away, y: at.y + dy * away, width, height };
  });
}

export function within(box: Box, width: number, height: number): boolean {
  return box.x >= box.width / 2 && box.y >= box.height / 2 && box.x <= width - box.width / 2 && box.y <= height - box.height / 2;
}

export function overlap(one: Box, other: Box): boolean {
  return (
    Math.abs(one.x - other.x) < (one.width + other.width) / 2 + gap && Math.abs(one.y - other.y) < (one.height + other.height) / 2
  );
}

export function covers(box: Box, dot: Dot): boolean {
  const dx = Math.max(Math.abs(dot.x - box.x) - box.width / 2, 0);
  const dy = Math.max(Math.abs(dot.y - box.y) - box.height / 2, 0);
  return Math.hypot(dx, dy) < dot.r;
}

/** 0, n - 1, then the middle of what is between, and so on. */
export function fromTheEnds(n: number): number[] {
  const order = n > 1 ? [0, n - 1] : n === 1 ? [0] : [];
  let spans: [number, number][] = [[0, n - 1]];
  while (spans.length > 0) {
    const next: [number, number][] = [];
    for (const [low, high] of spans) {
      if (high - low < 2) continue;
      const middle = (low + high) >> 1;
      order.push(middle);
      next.push([low, middle], [middle, high]);
    }
    spans = next;
  }
  return order;
}
