import { expect, test } from "vitest";
import { lettered, pathOf, placeAt, runsOf, stepped, xOf, yOf, type Sheet } from "./draw";
import type { Layer } from "./form";

const sheet: Sheet = { places: 4, px: 400, foot: 100, head: 0, top: 10 };
const layer = (high: (number | null)[], low: (number | null)[] = []): Layer => ({
  name: "", line: low.length === 0, look: "solid", ink: "plain", low, high,
});

test("a place lies in the middle of its share, an amount between foot and head", () => {
  expect([0, 3].map((at) => xOf(sheet, at))).toEqual([50, 350]);
  expect([0, 5, 10, 99].map((a) => yOf(sheet, a))).toEqual([100, 50, 0, 0]);
});

test("a finger finds the place under it, and the nearest one outside", () => {
  expect([-5, 0, 99, 100, 250, 400, 999].map((x) => placeAt(sheet, x))).toEqual([0, 0, 0, 1, 2, 3, 3]);
});

test("arrow keys stay within the places", () => {
  expect(stepped(0, "ArrowLeft", 4)).toBe(0);
  expect(stepped(2, "ArrowRight", 4)).toBe(3);
  expect(stepped(1, "End", 4)).toBe(3);
  expect(stepped(1, "a", 4)).toBeUndefined();
});

test("what is not known is a gap in a line, and one known place is a point", () => {
  expect(pathOf(layer([0, 5, null, 10]), sheet)).toBe("M50 100L150 50M350 0h0.1");
  expect(pathOf(layer([null, null, null, null]), sheet)).toBe("");
});

test("a band goes along its high and back along its low amounts", () => {
  expect(pathOf(layer([5, 10, 10, null], [0, 5, null, 0]), sheet)).toBe("M50 50L150 0L150 50L50 100Z");
});

test("cells of one state are drawn as one", () => {
  expect(runsOf([0, 0, 2, 2, 2, 0])).toEqual([
    { from: 0, count: 2, state: 0 }, { from: 2, count: 3, state: 2 }, { from: 5, count: 1, state: 0 },
  ]);
});

test("words below the axis are cut until they fit", () => {
  const days = ["Tue 25", "Wed 26"].map((word, at) => ({ at, word }));
  expect(lettered(days, { places: 2, px: 200 }).map((t) => t.word)).toEqual(["Tue 25", "Wed 26"]);
  expect(lettered(days, { places: 2, px: 90 }).map((t) => t.word)).toEqual(["Tue", "Wed"]);
  expect(lettered(days, { places: 2, px: 40 }).map((t) => t.word)).toEqual(["T", "W"]);
  const years = ["1995", "2000"].map((word, at) => ({ at, word }));
  expect(lettered(years, { places: 2, px: 60 }).map((t) => t.word)).toEqual(["’95", "’00"]);
});
