import { expect, test } from "vitest";
import type { Sheet } from "../../lib/form";
import { PARTS, partOf, sheetsOf } from "./sheets";

const sheet = (id: string): Sheet => ({ id, title: id, under: "", under_parts: [], tables: [], said: [], drawings: [] });

test("a part is asked for by its path, or by a sheet of it", () => {
  expect(partOf("lime", "").path).toBe("lime");
  expect(partOf(undefined, "").path).toBe("");
  expect(partOf(undefined, "plot.p1").path).toBe("plots");
  expect(partOf("nowhere", "").path).toBe("");
});

test("each sheet stands in one part, in the part's own order", () => {
  const all = ["plot.b", "counter.x", "buy", "labels", "samples", "lime", "blend.1", "seed", "applied", "settings", "year"].map(sheet);
  expect(PARTS.map((p) => sheetsOf(p, all).map((s) => s.id))).toEqual([
    ["buy", "counter.x"], ["plot.b"], ["lime", "samples", "labels"], ["seed", "blend.1"], ["settings", "applied"],
  ]);
});
