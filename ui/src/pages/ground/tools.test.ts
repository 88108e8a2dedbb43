import { describe, expect, test } from "vitest";
import type { LonLat } from "../../lib/earth";
import type { Entry, Place } from "../../lib/form";
import { bearing, measured } from "./measure";
import { sheetOf, type XY } from "./sheet";
import { snap, targetsOf } from "./snap";
import { draftsOf } from "./split";
import { cornerOf, tileAt, tilesOf } from "./tiles";
import { withWaiting } from "./waiting";

const SQUARE: LonLat[] = [[-90, 40], [-89.99, 40], [-89.99, 40.01], [-90, 40.01], [-90, 40]];
const place = (id: string, shape: Place["shape"], more: Partial<Place> = {}): Place =>
  ({ id, kind: "plot", name: id, entry: "", visibility: "all", body: { kind: "plot", name: id }, shape, ...more });
const field = place("field", { type: "Polygon", coordinates: [SQUARE] });

describe("snap", () => {
  const sheet = sheetOf(SQUARE, 60)!;
  const targets = targetsOf([field], null, sheet.at);
  const by = (spot: LonLat, right: number, down: number): XY => {
    const [x, y] = sheet.at(spot);
    return [x + right, y + down];
  };

  test("near a corner, exactly the corner", () => {
    expect(snap(by(SQUARE[1]!, 5, -7), targets, 12, sheet.back)).toEqual(SQUARE[1]);
  });

  test("a corner goes before an edge that is nearer", () => {
    expect(snap(by(SQUARE[1]!, -9, 0), targets, 12, sheet.back)).toEqual(SQUARE[1]);
  });

  test("near an edge, its nearest point", () => {
    const [lon, lat] = snap(by([-89.995, 40], 0, 8), targets, 12, sheet.back)!;
    expect(lon).toBeCloseTo(-89.995, 9);
    expect(lat).toBeCloseTo(40, 12);
  });

  test("farther off, nowhere; and never on the place itself", () => {
    expect(snap(by([-89.995, 40], 0, 13), targets, 12, sheet.back)).toBeNull();
    expect(targetsOf([field], "field", sheet.at)).toEqual([]);
  });

  test("a single point is a corner too", () => {
    const gate = targetsOf([place("gate", { type: "Point", coordinates: [-90, 40] })], null, sheet.at);
    expect(snap(by([-90, 40], 3, 3), gate, 12, sheet.back)).toEqual([-90, 40]);
  });
});

describe("measure", () => {
  test("in all quadrants, clockwise from north", () => {
    const from: XY = [0, 0];
    const found = ([[0, -1], [1, -1], [1, 0], [1, 1], [0, 1], [-1, 1], [-1, 0], [-1, -1]] as XY[]).map((to) => bearing(from, to));
    expect(found.map((f) => f.degrees)).toEqual([0, 45, 90, 135, 180, 225, 270, 315]);
    expect(found.map((f) => f.compass)).toEqual(["N", "NE", "E", "SE", "S", "SW", "W", "NW"]);
    expect(bearing(from, [-0.001, -1])).toEqual({ degrees: 0, compass: "N" });
  });

  // an acre is 4,840 square yards: 44 yd by 110 yd (NIST Handbook 44, appendix C)
  test("yards along the way, acres once there are three points", () => {
    const acre: XY[] = [[0, 0], [110, 0], [110, 44], [0, 44]];
    expect(measured(acre.slice(0, 2))).toEqual({ yards: 110, acres: null, leg: { yards: 110, degrees: 90, compass: "E" } });
    expect(measured(acre).acres).toBeCloseTo(1, 9);
    expect(measured(acre).yards).toBe(264);
    expect(measured([[3, 3]])).toEqual({ yards: 0, acres: null, leg: null });
    expect(measured([[3, 3], [3, 3]]).leg).toBeNull();
  });
});

describe("pictures of the land", () => {
  // the common tiling of web maps: one tile at zoom 0, its edge at 85.0511 degrees
  test("a tile's corner and back", () => {
    expect(cornerOf(0, 0, 0)[1]).toBeCloseTo(85.0511288, 6);
    expect(tileAt([0, 0], 1)).toEqual([1, 1]);
    const [x, y] = tileAt([-90.62, 47.31], 16);
    const [lon, lat] = cornerOf(x, y, 16);
    expect(lon).toBeCloseTo(-90.62, 9);
    expect(lat).toBeCloseTo(47.31, 9);
  });

  test("what is seen is covered, from the one service, by no more than it takes", () => {
    const [northWest, southEast]: [LonLat, LonLat] = [[-90.63, 47.32], [-90.61, 47.305]];
    const tiles = tilesOf(northWest, southEast, 2);
    expect(tiles.length).toBeGreaterThan(3);
    expect(tiles.length).toBeLessThanOrEqual(48);
    expect(Math.min(...tiles.map((t) => t.northWest[0]))).toBeLessThanOrEqual(northWest[0]);
    expect(Math.max(...tiles.map((t) => t.northWest[1]))).toBeGreaterThanOrEqual(northWest[1]);
    expect(Math.max(...tiles.map((t) => t.southEast[0]))).toBeGreaterThanOrEqual(southEast[0]);
    expect(Math.min(...tiles.map((t) => t.southEast[1]))).toBeLessThanOrEqual(southEast[1]);
    for (const { url } of tiles) expect(url).toMatch(/^https:\/\/basemap\.nationalmap\.gov\/[\w/]+\/tile\/1[456]\/\d+\/\d+$/);
    expect(tilesOf([-120, 49], [-70, 30], 2).length).toBeLessThanOrEqual(48);
  });

  // between its corners a tile bends by its height squared over eight earth radii
  test.each([30, 47, 60])("laid by its corners, no spot of a tile is a yard off at %i north", (lat) => {
    for (const z of [14, 15, 16]) {
      const [x, y] = tileAt([-90, lat], z).map(Math.floor) as [number, number];
      const [top, bottom] = [cornerOf(x, y, z)[1], cornerOf(x, y + 1, z)[1]];
      for (let share = 0; share <= 1; share += 0.125) {
        const there = cornerOf(x, y + share, z)[1];
        const laid = top + (bottom - top) * share;
        expect(Math.abs(there - laid) * 121_740).toBeLessThan(z === 14 ? 0.2 : 0.05);
      }
    }
  });
});

test("a split writes the largest part as the old place, each other one as a new one of its kind", () => {
  const parts = [1, 2].map((n) => ({ acres: 3 - n, shape: { type: "Polygon", coordinates: [n] } }));
  const old = place("field", null, { visibility: "keepers", body: { kind: "plot", name: "Field", texture: "loam" } });
  expect(draftsOf(old, parts, ["Far Field"])).toEqual([
    { kind: "place", subject: "field", visibility: "keepers", body: { kind: "plot", name: "Field", texture: "loam", shape: parts[0]!.shape } },
    { kind: "place", visibility: "keepers", body: { kind: "plot", name: "Far Field", shape: parts[1]!.shape } },
  ]);
});

test("what waits on the device is drawn as it will be; what was taken back is not", () => {
  const entry = (id: string, kind: string, subject: string, body: Entry["body"] = {}): Entry =>
    ({ id, kind, subject, body, schema: 1, parents: [], author: "", device: "", said_at: "", happened_on: null, batch: "", visibility: "all" });
  const shape = { type: "Point", coordinates: [-90, 40] };
  const found = withWaiting([field, place("old", null)], [
    entry("1", "place", "new", { kind: "gate", name: "New Gate", shape }),
    entry("2", "place", "field", { kind: "plot", name: "Field", texture: "loam" }),
    entry("3", "remove", "old"),
    entry("4", "place", "wrong", { kind: "gate", name: "Wrong", shape }),
    entry("5", "undo", "x", { entries: ["4"] }),
    entry("6", "note", "n", {}),
  ]);
  expect(found.map((p) => [p.id, p.name, p.shape])).toEqual([["field", "Field", null], ["new", "New Gate", shape]]);
  expect(found[1]!.body).toEqual({ kind: "gate", name: "New Gate" });
});
