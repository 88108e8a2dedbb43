/** A state with what the server says has changed in it. */
import type { Changes, State } from "./form";

interface Row {
  id: string;
}

/** The state that comes of a held one; null where it is another that the changes are made to. */
export function changed(held: State | null, by: Changes): State | null {
  if (held === null || held.tag !== by.of) return null;
  const gone = new Set(by.gone);
  const things: State["things"] = {};
  for (const kind of new Set([...Object.keys(held.things), ...Object.keys(by.things)])) {
    things[kind] = merged(held.things[kind] ?? [], by.things[kind] ?? [], gone);
  }
  const sheets = new Map([...held.sheets, ...by.sheets].map((s) => [s.id, s]));
  return {
    ...held,
    ...(by.now as Partial<State>),
    tag: by.tag,
    places: merged(held.places, by.places, gone),
    things,
    sheets: by.order.flatMap((id) => sheets.get(id) ?? []),
  };
}

/** Rows by their ids, as the server has them, with the newer ones in place of the older. */
function merged<R extends Row>(held: R[], newer: R[], gone: Set<string>): R[] {
  if (newer.length === 0 && !held.some((row) => gone.has(row.id))) return held;
  const left = held.filter((row) => !gone.has(row.id));
  const rows = new Map([...left, ...newer].map((row) => [row.id, row]));
  return [...rows.values()].sort((a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0));
}
