/** Which sheets the order is made of, in the order in which they are read. */
import type { Sheet } from "../../lib/form";

/** What the order rests on. */
export const KINDS = ["planting", "blend", "soil-test", "seed-lot", "arrival", "material", "equipment", "catch", "label", "application"];

/** Ids of sheets, or what they begin with. */
const PARTS = ["buy", "counter.", "lime", "samples", "labels", "blend.", "seed", "settings", "applied", "plot."];

export function orderSheets(sheets: readonly Sheet[]): Sheet[] {
  return PARTS.flatMap((part) => sheets.filter((s) => (part.endsWith(".") ? s.id.startsWith(part) : s.id === part)));
}
