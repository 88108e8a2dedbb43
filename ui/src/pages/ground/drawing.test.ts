import { expect, test } from "vitest";
import type { LonLat } from "../../lib/earth";
import { Drawing } from "./drawing.svelte";
import { crosses, outlineOf, shapeOf } from "./outline";

const [A, B, C, D]: [LonLat, LonLat, LonLat, LonLat] = [[0, 0], [4, 0], [4, 4], [0, 4]];
const SQUARE = { type: "Polygon", coordinates: [[A, B, C, D, A]] };
const HOLE: LonLat[] = [[1, 1], [2, 1], [2, 2], [1, 1]];
const FAR: LonLat[] = [[9, 9], [10, 9], [10, 10], [9, 9]];

function drawn(...points: LonLat[]): Drawing {
  const draft = new Drawing();
  draft.draw("plot", "Polygon");
  for (const point of points) draft.add(point);
  return draft;
}

test("a shape comes back from its outline, holes and several areas too", () => {
  for (const shape of [
    { type: "Point", coordinates: A },
    { type: "LineString", coordinates: [A, B, C] },
    { type: "MultiLineString", coordinates: [[A, B], [C, D]] },
    SQUARE,
    { type: "Polygon", coordinates: [[A, B, C, D, A], HOLE] },
    { type: "MultiPolygon", coordinates: [[[A, B, C, D, A], HOLE], [FAR]] },
  ]) {
    expect(shapeOf(outlineOf(shape))).toEqual(shape);
  }
});

test("what is drawn is a shape once it has enough corners", () => {
  expect(drawn(A, B).shape).toBeNull();
  expect(drawn(A, B, C, D).shape).toEqual(SQUARE);
  const line = new Drawing();
  line.draw("road", "LineString");
  line.add(A);
  expect(line.shape).toBeNull();
  line.add(B);
  expect(line.shape).toEqual({ type: "LineString", coordinates: [A, B] });
});

test("a point is where the ground was touched last", () => {
  const draft = new Drawing();
  draft.draw("treestand", "Point");
  draft.add(A);
  draft.add(C);
  expect(draft.shape).toEqual({ type: "Point", coordinates: C });
});

test("each step goes back and comes again: corners, moves, corners put in and taken out", () => {
  const draft = drawn(A, B, C);
  draft.insert([0, 2], D);
  draft.hold([0, 1]);
  draft.move([0, 1], [5, 0]);
  draft.move([0, 1], [6, 0]);
  draft.take();
  expect(draft.points).toEqual([A, C, D]);
  const steps = [[A, [6, 0], C, D], [A, B, C, D], [A, B, C], [A, B], [A], []];
  for (const step of steps) {
    draft.back();
    expect(draft.points).toEqual(step);
  }
  expect(draft.canBack).toBe(false);
  for (const step of [...steps.slice(0, -1).toReversed(), [A, C, D]]) {
    draft.again();
    expect(draft.points).toEqual(step);
  }
  expect(draft.canAgain).toBe(false);
});

test("a new step drops what could have come again, and a corner held without a move is no step", () => {
  const draft = drawn(A, B, C);
  draft.back();
  draft.add(D);
  expect(draft.canAgain).toBe(false);
  draft.hold([0, 0]);
  draft.back();
  expect(draft.points).toEqual([A, B]);
});

test("an area that was there keeps three corners and takes new ones between, not at its end", () => {
  const draft = new Drawing();
  draft.reshape("plot", "p", SQUARE);
  expect([draft.grows, draft.canBack]).toEqual([false, false]);
  draft.hold([0, 0]);
  draft.take();
  expect(draft.points).toEqual([B, C, D]);
  draft.hold([0, 0]);
  expect(draft.canTake).toBe(false);
  draft.take();
  expect(draft.points).toHaveLength(3);
});

test("a hole's corner moves the hole alone", () => {
  const draft = new Drawing();
  draft.reshape("plot", "p", { type: "Polygon", coordinates: [[A, B, C, D, A], HOLE] });
  draft.hold([1, 0]);
  draft.move([1, 0], [1.5, 0.5]);
  expect(draft.shape?.coordinates).toEqual([[A, B, C, D, A], [[1.5, 0.5], [2, 1], [2, 2], [1.5, 0.5]]]);
});

test("edges that cross are told from edges that meet", () => {
  expect(crosses(outlineOf(SQUARE))).toBe(false);
  expect(drawn(A, C, B, D).crossed).toBe(true);
  expect(drawn(A, B, C).crossed).toBe(false);
  expect(crosses({ type: "LineString", runs: [[A, C, B, D]], rings: [1] })).toBe(false);
});

test("a tool that is laid down leaves nothing", () => {
  const draft = drawn(A, B, C);
  draft.measure();
  expect([draft.tool, draft.points, draft.canBack]).toEqual(["measure", [], false]);
  draft.stop();
  expect([draft.tool, draft.grows]).toEqual([null, false]);
});
