/** The places as they will stand once what waits on this device has been sent. */
import type { Entry, Place, Shape } from "../../lib/form";

export function withWaiting(places: Place[], waiting: Entry[]): Place[] {
  const undone = new Set(waiting.filter((e) => e.kind === "undo").flatMap((e) => e.body["entries"] as string[]));
  const found = new Map(places.map((p) => [p.id, p]));
  for (const entry of waiting) {
    if (undone.has(entry.id)) continue;
    if (entry.kind === "remove") found.delete(entry.subject);
    if (entry.kind === "place") found.set(entry.subject, placeOf(entry));
  }
  return [...found.values()];
}

function placeOf({ id, subject, visibility, body }: Entry): Place {
  const { shape = null, ...rest } = body;
  return {
    id: subject,
    kind: String(body["kind"]),
    name: String(body["name"]),
    shape: shape as Shape | null,
    entry: id,
    visibility,
    body: rest,
  };
}
