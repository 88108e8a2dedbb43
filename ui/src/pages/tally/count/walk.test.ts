import "fake-indexeddb/auto";
import { expect, test } from "vitest";
import { draftOf, isWhole, keepWalk, keptWalk, soFar, wantsWeeds, withoutLast, withTap, type Walking } from "./walk";

const begun: Walking = {
  tract: "t", subject: "s", place: "p", method: "frequency grid", throws: 2, cells: 25, frame_ft2: 1,
  species: "", with_weeds: false, on: "2027-09-15", taken: [], weeds: [],
};
const tapped = (walk: Walking, ...taps: number[]): Walking => taps.reduce(withTap, walk);

test("a grid keeps each throw by itself", () => {
  const walk = tapped(begun, 14, 16);
  expect(isWhole(walk)).toBe(true);
  expect(soFar(walk)).toEqual({ sum: 30, throws: 2, cells: 50 });
  expect(draftOf(walk).body).toEqual({
    place: "p", on: "2027-09-15", method: "frequency grid", cells: 25, hits: [14, 16],
  });
});

test("weeds follow each throw, and the last tap of either is taken back", () => {
  const walk = tapped({ ...begun, with_weeds: true }, 14, 3, 16);
  expect([walk.taken, walk.weeds, wantsWeeds(walk)]).toEqual([[14, 16], [3], true]);
  expect(withoutLast(walk)).toEqual({ ...walk, taken: [14] });
  expect(withoutLast(withoutLast(walk)).weeds).toEqual([]);
});

test("steps are looks of which some met the crop", () => {
  const walk = tapped({ ...begun, method: "cover by steps", throws: 4 }, 1, 0, 1, 1);
  expect(draftOf(walk, " dry ").body).toMatchObject({ steps: 4, hits: [3], note: "dry" });
});

test("what is tapped is there after a reload", async () => {
  await keepWalk(tapped(begun, 7));
  expect((await keptWalk())?.taken).toEqual([7]);
  await keepWalk(null);
  expect(await keptWalk()).toBeNull();
});
