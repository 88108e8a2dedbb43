import { expect, test } from "vitest";
import { called } from "./called";

const known = {
  place: (id: string) => (id === "p" ? { id, kind: "plot", name: "Harrow", shape: null, entry: "", visibility: "", body: {} } : undefined),
  things: (kind: string) => (kind === "blend" ? [{ id: "b", entry: "", on: null, body: { name: "Rye and oats" } }] : kind === "equipment" ? [{ id: "e", entry: "", on: null, body: { name: "Cone spreader" } }] : []),
};

test("a thing is called by its name, else by place and blend, with its day", () => {
  expect(called(known, "blend", { name: "Rye and oats" })).toBe("Rye and oats");
  expect(called(known, "planting", { place: "p", blend: "b", sow_on: "2027-08-28" })).toBe("Harrow, Rye and oats, Aug 28");
  expect(called(known, "soil-test", { place: "p", sampled_on: "2026-11-07" })).toContain("Harrow, Nov 7");
  expect(called(known, "catch", { equipment: "e", on: "2026-08-21" })).toBe("Cone spreader, Aug 21");
  expect(called(known, "seed-lot", {})).toBe("seed lot");
});
