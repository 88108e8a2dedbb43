import { expect, test } from "vitest";
import { counted, inOrder, isTagged, nextUntagged, nothing, pressed, tagsOf, whenOf, withTags } from "./tagging";

const visit = (id: string, began: string, more: Record<string, unknown> = {}) => ({
  id,
  entry: `e-${id}`,
  on: null,
  body: { camera: "oak", began, ended: began, photos: 3, ...more },
});
const none = (): undefined => undefined;

test("a key adds, with shift it takes away, and never below none", () => {
  const fresh = tagsOf({});
  const two = pressed(pressed(fresh, "d", false)!, "D", false)!;
  expect(two.counts.does).toBe(2);
  expect(pressed(two, "D", true)?.counts.does).toBe(1);
  expect(counted(fresh, "fawns", -1).counts.fawns).toBe(0);
  expect(pressed(fresh, "x", false)).toBeUndefined();
});

test("what was not counted beside what was is none, and the rest of the visit stays", () => {
  const body = withTags({ camera: "oak", shots: ["a"], other: "fox" }, counted(tagsOf({}), "bucks", 1));
  expect(body).toEqual({ camera: "oak", shots: ["a"], does: 0, bucks: 1, fawns: 0, unknown: 0 });
});

test("nothing is a tag, blank is none", () => {
  expect(isTagged({ camera: "oak" })).toBe(false);
  expect(isTagged(withTags({}, nothing()))).toBe(true);
  expect(isTagged({ other: "fox" })).toBe(true);
});

test("in order of time, with what waits; the next untagged comes round", () => {
  const visits = [visit("b", "2026-11-02T12:00:00Z"), visit("a", "2026-11-01T12:00:00Z"), visit("c", "2026-11-03T12:00:00Z", { does: 1 })];
  const stops = inOrder(visits, (id) => (id === "a" ? { ...visits[1]!.body, does: 0 } : undefined));
  expect(stops.map((s) => s.id)).toEqual(["a", "b", "c"]);
  expect(nextUntagged(stops, "c")?.id).toBe("b");
  expect(nextUntagged(stops, "b")).toBeUndefined();
  expect(inOrder(visits, none, "elm")).toEqual([]);
});

test("a visit's time is the tract's", () => {
  const body = { began: "2026-11-02T13:31:00Z", ended: "2026-11-02T13:44:00Z" };
  expect(whenOf(body, "America/Chicago")).toBe("Nov 2, 2026, 07:31 to 07:44");
});
