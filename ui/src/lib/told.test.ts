import { expect, test } from "vitest";
import type { Table } from "./form";
import { pathOf, sayRow } from "./told";

const column = (name: string, series?: string) => ({ name, number: true, wide: false, ...(series ? { series } : {}) });
const table: Table = {
  title: "",
  columns: [column("week"), column("find", "forage.eaten.likely.*"), column("need")],
  rows: [["Jan 2", "5", { text: "9", path: "a.b" }], ["Jan 9", "7", ""]],
};

test("a cell opens by its own way, else by its column's, in which the row stands for the star", () => {
  expect(pathOf(table, 1, 1)).toBe("forage.eaten.likely.1");
  expect(pathOf({ ...table, keys: ["2027-01-02", "2027-01-09"] }, 1, 1)).toBe("forage.eaten.likely.2027-01-09");
  expect([pathOf(table, 0, 2), pathOf(table, 1, 2), pathOf(table, 0, 0), pathOf(table, 9, 1)]).toEqual(["a.b", null, null, null]);
});

test("a row is said without what it does not say", () => {
  expect(sayRow(table, 0)).toBe("Jan 2: find 5, need 9");
  expect(sayRow(table, 1)).toBe("Jan 9: find 7");
});
