// Ranks that are given by tapping what comes first, second and so on.

/** The order after a tap: what was not in it comes last; what was is taken out, and the rest moves up. */
export function tapped(order: readonly string[], code: string): string[] {
  return order.includes(code) ? order.filter((one) => one !== code) : [...order, code];
}

/** The order that ranks make, where each is there once, from 1 on without a gap; else as far as that goes. */
export function orderOf(ranks: ReadonlyMap<string, number>): string[] {
  const order: string[] = [];
  for (let rank = 1; ; rank++) {
    const here = [...ranks].filter(([, own]) => own === rank);
    const [first] = here;
    if (!first || here.length > 1) return order;
    order.push(first[0]);
  }
}
