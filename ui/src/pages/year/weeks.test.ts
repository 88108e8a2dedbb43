import { expect, test } from "vitest";
import { daysOf, knowsFit, knowsRain, mostRain, stepped, weekAt } from "./weeks";
import type { RibbonWeek } from "../../lib/form";

const week = (at: number, more: Partial<RibbonWeek> = {}): RibbonWeek => ({
  x: at * 3, width: 3, rain: null, fell: null, gauge: null, fit: null, ...more,
});

test("the scale reaches the wettest mark, and nothing known is nothing drawn", () => {
  expect(mostRain([week(0, { rain: [0, 0.5, 2] }), week(1, { gauge: 3 })])).toBeCloseTo(3.18);
  expect([knowsRain([week(0)]), knowsFit([week(0)]), mostRain([week(0)])]).toEqual([false, false, 0]);
  expect([knowsRain([week(0, { fell: 0 })]), knowsFit([week(0, { fit: [0, 1] })])]).toEqual([true, true]);
});

test("the week under a finger is the one it lies in, or the last", () => {
  const weeks = [week(0), week(1), week(2)];
  expect([0, 2.9, 3, 8, 99].map((x) => weekAt(weeks, x))).toEqual([0, 0, 1, 2, 2]);
});

test("seven days: fit on every plot, on the best one, on none", () => {
  expect(daysOf([2, 4])).toEqual(["every", "every", "best", "best", "none", "none", "none"]);
  expect(daysOf(null)).toEqual(Array(7).fill("none"));
});

test("keys lead from week to week and no farther than the year", () => {
  expect([stepped(0, "ArrowLeft", 52), stepped(50, "PageUp", 52), stepped(3, "ArrowRight", 52), stepped(3, "x", 52)])
    .toEqual([0, 51, 4, undefined]);
});
