/** The parts of the order, and which sheets each is made of, in the order in which they are read. */
import type { Sheet } from "../../lib/form";
import type { WordId } from "../../lib/words";

export interface Part {
  /** What stands in the address after `/order/`; the first part has none. */
  path: string;
  title: WordId;
  /** Ids of sheets, or what they begin with. */
  sheets: string[];
  /** The kinds of thing that it rests on. */
  kinds: string[];
}

export const PARTS: Part[] = [
  { path: "", title: "order-buy", sheets: ["buy", "counter."], kinds: ["material", "seed-lot", "arrival"] },
  { path: "plots", title: "order-plots", sheets: ["plot."], kinds: ["planting", "blend", "soil-test"] },
  { path: "lime", title: "order-lime", sheets: ["lime", "samples", "labels"], kinds: ["soil-test", "material", "planting"] },
  { path: "seed", title: "order-seed", sheets: ["seed", "blend."], kinds: ["blend", "planting", "seed-lot", "arrival"] },
  {
    path: "settings",
    title: "order-settings",
    sheets: ["settings", "applied"],
    kinds: ["equipment", "catch", "label", "application", "material"],
  },
];

const isOf = (part: Part, id: string): boolean =>
  part.sheets.some((s) => (s.endsWith(".") ? id.startsWith(s) : id === s));

/** The part that an address asks for: by its path, else by the sheet that it points to. */
export function partOf(path: string | undefined, sheet: string): Part {
  const first = PARTS[0]!;
  if (path !== undefined) return PARTS.find((p) => p.path === path) ?? first;
  return PARTS.find((p) => isOf(p, sheet)) ?? first;
}

export function sheetsOf(part: Part, all: readonly Sheet[]): Sheet[] {
  return part.sheets.flatMap((s) => all.filter((sheet) => isOf({ ...part, sheets: [s] }, sheet.id)));
}
