import { expect, test } from "vitest";
import { entriesOf, restOf } from "./contents";
import type { Drawing, Sheet, Table } from "./form";

const table = (title: string, more: Partial<Table> = {}): Table => ({ title, columns: [], rows: [], ...more });
const drawing = { kind: "strip", title: "Years" } as Drawing;
const sheet: Sheet = {
  id: "today", title: "Today", under: "", under_parts: [], said: [],
  tables: [table("Now", { leads: true }), table("Waits"), table("")],
  drawings: [drawing],
};

test("what leads is not told again below", () => {
  expect(restOf(sheet).map((t) => t.title)).toEqual(["Waits", ""]);
});

test("a sheet is listed with its drawings and its titled tables, each at its own id", () => {
  const entries = entriesOf(sheet);
  expect(entries.map((e) => e.title)).toEqual(["Today", "Years", "Waits"]);
  expect(new Set(entries.map((e) => e.id)).size).toBe(3);
});
