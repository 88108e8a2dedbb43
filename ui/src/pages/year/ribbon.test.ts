import { expect, test } from "vitest";
import { areasBetween, asRows, dayMoved, movableOf, pathOf, pointsOf, ticks, together, xOfDay, type Axis } from "./ribbon";
import { state } from "../../lib/samples";

const axis: Axis = { starts: "2027-01-02", ends: "2028-01-01", units: 150, px: 728 };

test("two pixels a day: the ends, the middle, and what lies outside", () => {
  expect(xOfDay(axis, "2027-01-02")).toBe(0);
  expect(xOfDay(axis, "2028-01-01")).toBe(728);
  expect(xOfDay(axis, "2027-07-03")).toBe(364);
  expect(xOfDay(axis, "2025-08-10")).toBe(0);
  expect(xOfDay(axis, "2029-01-01")).toBe(728);
});

test("a day moves by pixels, and stays in the year", () => {
  expect(dayMoved(axis, "2027-08-28", 20)).toBe("2027-09-07");
  expect(dayMoved(axis, "2027-08-28", -20)).toBe("2027-08-18");
  expect(dayMoved(axis, "2027-08-28", 5000)).toBe("2028-01-01");
  expect(dayMoved(axis, "2027-08-28", -5000)).toBe("2027-01-02");
});

test("there and back again: every day of the year", () => {
  for (let d = 0; d <= 364; d++) {
    const day = dayMoved(axis, axis.starts, d * 2);
    expect(Math.round(xOfDay(axis, day))).toBe(d * 2);
  }
});

test("weeks that are not known leave a gap in the points, not a nought", () => {
  expect(pointsOf(axis, "2027-01-02", [1, null, 3], (v) => v)).toEqual([[6, 1], [34, 3]]);
  expect(pathOf([[0, 1], [2.04, 3]])).toBe("M0 1L2 3");
});

test("the area between two lines is drawn where they part, each time anew", () => {
  const upper = [0, 1, 2, 3, 4, 5].map((x) => [x, 10] as [number, number]);
  const lower = [10, 20, 10, 10, 30, 30].map((y, x) => [x, y] as [number, number]);
  expect(areasBetween(upper, lower).match(/M/g)?.length).toBe(2);
  expect(areasBetween(upper, upper)).toBe("");
});

test("round marks on the scale", () => {
  expect(ticks(250)).toEqual([100, 200]);
  expect(ticks(188)).toEqual([100]);
  expect(ticks(0)).toEqual([]);
});

test("a planting of this year moves; one of an earlier year, and a season, do not", () => {
  const things = {
    planting: [
      { id: "p1", entry: "e", on: null, body: { place: "h", sow_on: "2027-08-28" } },
      { id: "p0", entry: "e", on: null, body: { place: "h", sow_on: "2025-08-28" } },
    ],
    closing: [{ id: "c1", entry: "e", on: null, body: { closes: "2027-09-05", opens: "2028-01-02" } }],
  };
  const bar = (kind: string, id: string) => ({ id, kind, label: "oats", x: 0, width: 9 });
  const of = (kind: string, id: string) => movableOf(axis, { name: "Harrow" }, bar(kind, id), [], things);
  expect(of("sown", "p1")).toMatchObject({ subject: "p1", field: "sow_on", day: "2027-08-28" });
  expect(of("closed", "c1")).toMatchObject({ subject: "c1", field: "closes" });
  expect(of("kept", "p0")).toBeUndefined();
  expect(of("season", "c1")).toBeUndefined();
});

test("the ribbon reads as a table", () => {
  const ribbon = { width: 150, months: [], today: null, frost: [], tasks: [], weeks: [], why: "", rows: [
    {
      name: "Harrow",
      bars: [{ id: "p1", x: 75, width: 15, label: "oats", kind: "sown" }],
      windows: [{ id: "p1", x: 75, width: 7.5, label: "to be sown Jul 3 to Jul 21" }],
    },
  ] };
  expect(asRows(axis, ribbon)).toEqual([
    ["Harrow", "oats", "Jul 3", "Aug 8"],
    ["Harrow", "to be sown Jul 3 to Jul 21", "Jul 3", "Jul 21"],
  ]);
});

test("marks that would touch become one with their count", () => {
  const marks = [{ x: 0, count: 1 }, { x: 2, count: 3 }, { x: 30, count: 1 }];
  expect(together(marks, 5, 20)).toEqual([{ x: 0, count: 4 }, { x: 30, count: 1 }]);
  expect(marks[0]?.count).toBe(1);
});
