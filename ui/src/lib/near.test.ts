import { expect, test } from "vitest";
import type { Place } from "./form";
import { nearest } from "./near";

const place = (id: string, kind: string, type: string, coordinates: unknown): Place => ({
  id, kind, name: id, shape: { type, coordinates }, entry: "", visibility: "all", body: {},
});

test("the nearest place by its nearest corner; the boundary is none", () => {
  const all = [
    place("edge", "boundary", "Polygon", [[[-95, 45], [-95, 45.01], [-94.99, 45]]]),
    place("far", "plot", "Polygon", [[[-95, 45.02], [-95, 45.03], [-94.99, 45.02]]]),
    place("post", "treestand", "Point", [-95, 45.001]),
  ];
  const found = nearest(all, [-95, 45]);
  expect(found?.place.id).toBe("post");
  // a degree of latitude is 69.17 statute miles at 45 N: 0.001 of it, 121.7 yd
  expect(found?.yards).toBeCloseTo(121.7, 0);
});

test("no places drawn, none near", () => {
  expect(nearest([], [0, 0])).toBeNull();
});
