import { describe, expect, test } from "vitest";
import type { Place } from "../../lib/form";
import { placeNames, type Wanted } from "../../lib/labels";
import { corners, type LonLat } from "../../lib/earth";
import { acresOf, drawnOrder, lengthOf, middle, pathOf, scaleBar, sheetOf, type XY } from "./sheet";
import { Window } from "./window.svelte";

const SQUARE: LonLat[] = [[-90, 40], [-89.99, 40], [-89.99, 40.01], [-90, 40.01]];
const plain = ([x, y]: LonLat): XY => [x, y];

describe("the sheet", () => {
  test("there is none without a point", () => expect(sheetOf([], 10)).toBeNull());

  test("north is up, east is right, and a point comes back from it", () => {
    const sheet = sheetOf(SQUARE, 40)!;
    expect(sheet.at([-90, 40.01])).toEqual([40, 40]);
    const [lon, lat] = sheet.back(sheet.at([-89.993, 40.004]));
    expect(lon).toBeCloseTo(-89.993, 9);
    expect(lat).toBeCloseTo(40.004, 9);
  });

  // WGS 84 at 40 N: a degree of latitude is 111.035 km, of longitude 85.394 km
  test("it is true to a part in two hundred", () => {
    const sheet = sheetOf(SQUARE, 0)!;
    expect(Math.abs(sheet.height / (1110.35 / 0.9144) - 1)).toBeLessThan(0.005);
    expect(Math.abs(sheet.width / (853.94 / 0.9144) - 1)).toBeLessThan(0.005);
  });

  // an acre is 4,840 square yards: a square of 69.57 yd (NIST Handbook 44, appendix C)
  test("an acre is an acre, whichever way round it is drawn", () => {
    const acre: XY[] = [[5, 5], [74.57, 5], [74.57, 74.57], [5, 74.57]];
    expect(acresOf(acre)).toBeCloseTo(1, 3);
    expect(acresOf(acre.toReversed())).toBeCloseTo(1, 3);
    expect(lengthOf(acre)).toBeCloseTo(3 * 69.57, 6);
  });

  test("the scale bar is round and takes no more than a third", () => {
    expect(scaleBar(1000)).toBe(300);
    for (const width of [20, 77, 400, 2500, 9000]) expect(scaleBar(width)).toBeLessThanOrEqual(width / 3);
  });
});

describe("shapes", () => {
  test("lines stay open and areas close, one run for each part", () => {
    expect(pathOf({ type: "LineString", coordinates: [[0, 0], [4, 2]] }, plain)).toBe("M0.0 0.0L4.0 2.0");
    const two = { type: "MultiPolygon", coordinates: [[[[0, 0], [1, 0], [0, 1], [0, 0]]], [[[5, 5], [6, 5], [5, 6], [5, 5]]]] };
    expect(pathOf(two, plain).match(/Z/g)).toHaveLength(2);
    expect(corners(two)).toHaveLength(8);
    expect(pathOf({ type: "Point", coordinates: [1, 1] }, plain)).toBe("");
    expect(middle({ type: "Polygon", coordinates: [[[0, 0], [4, 0], [4, 2], [0, 0]]] }, plain)).toEqual([2, 1]);
  });

  test("a sign lies over a field, and what is not drawn is left out", () => {
    const place = (kind: string, type: string | null): Place =>
      ({ id: kind, kind, name: kind, entry: "", visibility: "", body: {}, shape: type ? { type, coordinates: [0, 0] } : null });
    const order = drawnOrder([place("camera", "Point"), place("plot", "Polygon"), place("cover", null), place("boundary", "Polygon")]);
    expect(order.map((p) => p.kind)).toEqual(["boundary", "plot", "camera"]);
  });
});

describe("names", () => {
  const want = (id: string, spot: XY, more: Partial<Wanted> = {}): Wanted => ({ id, text: "Harrow Field", spot, beside: true, ...more });

  test("two signs close together keep their names apart", () => {
    const [a, b] = placeNames([want("a", [0, 0]), want("b", [0, 12])], 15);
    expect([a!.x, a!.y, a!.anchor]).not.toEqual([b!.x, b!.y, b!.anchor]);
  });

  test("one that finds no room is left out, unless it must be shown", () => {
    const everywhere = [{ west: -999, east: 999, north: -999, south: 999 }];
    expect(placeNames([want("a", [0, 0])], 15, everywhere)).toEqual([]);
    expect(placeNames([want("a", [0, 0], { must: true })], 15, everywhere)).toHaveLength(1);
  });
});

describe("what is seen", () => {
  const frame = { left: 0, top: 0, width: 200, height: 100 } as DOMRect;

  test("the whole sheet, in the middle of its frame", () => {
    const view = new Window();
    view.frame(2);
    view.fit(100, 100);
    expect([view.x, view.y, view.width, view.height]).toEqual([-50, 0, 200, 100]);
  });

  test("coming nearer keeps the point under the hand where it is", () => {
    const view = new Window();
    view.frame(2);
    view.fit(400, 200);
    const spot = view.sheetAt([30, 70], frame);
    view.near(0.5, spot);
    expect(view.sheetAt([30, 70], frame)[0]).toBeCloseTo(spot[0], 9);
    expect(view.width).toBe(200);
  });

  test("another frame shows the whole anew, or keeps what is in the middle once it was moved", () => {
    const view = new Window();
    view.frame(2);
    view.fit(200, 100);
    view.frame(1);
    expect([view.width, view.height]).toEqual([200, 200]);
    view.near(0.5);
    view.frame(2);
    expect([view.x, view.y, view.width, view.height]).toEqual([50, 25, 100, 50]);
  });

  test("a part is shown in the middle, with room around it", () => {
    const view = new Window();
    view.frame(2);
    view.fit(400, 200);
    view.show([[100, 100], [140, 110]]);
    expect([view.x, view.y, view.width, view.height]).toEqual([80, 85, 80, 40]);
    view.frame(1);
    expect([view.x, view.width, view.height]).toEqual([80, 80, 80]);
  });

  test("a hand moves it, a trembling one does not; two fingers draw it near", () => {
    const view = new Window();
    view.frame(2);
    view.fit(200, 100);
    view.down(1, [50, 50]);
    view.move(1, [52, 51], frame);
    expect([view.x, view.moved]).toEqual([0, false]);
    view.move(1, [70, 50], frame);
    expect([view.x, view.moved]).toEqual([-20, true]);
    view.down(2, [90, 50]);
    view.move(2, [110, 50], frame);
    expect(view.width).toBe(100);
    view.up(1);
    view.up(2);
  });
});
