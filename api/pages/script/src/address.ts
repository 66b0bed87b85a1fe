// Addresses that carry the state of the page.

/** A query of the form's entries; files, of which it has none, are left out. */
export function queryOf(entries: Iterable<[string, unknown]>): string {
  const query = new URLSearchParams();
  for (const [name, value] of entries) if (typeof value === "string") query.append(name, value);
  return query.toString();
}

/** An address of this site with values of its query changed. */
export function withValues(href: string, origin: string, values: Record<string, string>): string {
  const url = new URL(href, origin);
  for (const [name, value] of Object.entries(values)) url.searchParams.set(name, value);
  return url.pathname + url.search + url.hash;
}

/**
 * The address of what a document shows. Its links to pictures have the shortest
 * query that opens the same; without one, or with a field at fault, it is the
 * address that was asked for.
 */
export function addressOf(doc: Document, asked: string): string {
  const link = doc.querySelector("a[data-address]")?.getAttribute("href");
  if (!link?.includes("?") || doc.querySelector("[aria-invalid]")) return asked;
  return new URL(asked, "http://page").pathname + link.slice(link.indexOf("?"));
}
