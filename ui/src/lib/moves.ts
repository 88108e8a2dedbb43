/** What a change would move: the plan with it, held against the plan without. */
import type { Cell, Planned, Said, Sheet, Task, Year } from "./form";

export interface Moves {
  moved: { task: Task; from: string }[];
  comes: Task[];
  goes: Task[];
  begins: Said[];
  ends: Said[];
  cells: Changed[];
}

/** A cell of a sheet that says something else than before. */
export interface Changed {
  sheet: string;
  row: string;
  column: string;
  from: string;
  to: string;
}

/** What differs between two plans: in tasks, in sentences, and in the rows of some sheets. */
export function compare(before: Planned, after: Planned, sheets: readonly string[] = []): Moves {
  const was = tasksOf(before.year);
  const will = tasksOf(after.year);
  const found = [...will.values()];
  return {
    moved: found.flatMap((task) => {
      const from = was.get(task.id);
      return from && from.when !== task.when ? [{ task, from: from.when_text }] : [];
    }),
    comes: found.filter((t) => !was.has(t.id)),
    goes: [...was.values()].filter((t) => !will.has(t.id)),
    begins: newIn(before.said, after.said),
    ends: newIn(after.said, before.said),
    cells: sheets.flatMap((id) => changedIn(sheetOf(before, id), sheetOf(after, id))),
  };
}

export const isNothing = (m: Moves): boolean =>
  [m.moved, m.comes, m.goes, m.begins, m.ends, m.cells].every((all) => all.length === 0);

const tasksOf = (year: Year): Map<string, Task> =>
  new Map([...year.late, ...year.next, ...year.later, ...year.done].map((t) => [t.id, t]));

function newIn(before: Said[], after: Said[]): Said[] {
  const known = new Set(before.map((s) => s.text));
  const order = ["stopped", "ask", "caution", "doubt", "note"];
  return after
    .filter((s, i) => !known.has(s.text) && after.findIndex((o) => o.text === s.text) === i)
    .sort((a, b) => order.indexOf(a.weight) - order.indexOf(b.weight));
}

export const sheetOf = (plan: Planned, id: string): Sheet | undefined => plan.sheets.find((s) => s.id === id);

/** The cells that differ in the rows that two states of a sheet share, by the name of the row. */
function changedIn(before: Sheet | undefined, after: Sheet | undefined): Changed[] {
  if (before === undefined || after === undefined) return [];
  const was = new Map(rowsOf(before).map((r) => [r.key, r.cells]));
  return rowsOf(after).flatMap(({ key, row, cells }) => {
    const old = was.get(key);
    if (old === undefined) return [];
    return [...cells].flatMap(([column, to]) => {
      const from = old.get(column) ?? "";
      return from === to ? [] : [{ sheet: after.title, row, column, from, to }];
    });
  });
}

function rowsOf(sheet: Sheet): { key: string; row: string; cells: Map<string, string> }[] {
  return sheet.tables.flatMap((table) =>
    table.rows.map((row) => {
      const [first, ...rest] = row.map(textOf);
      const cells = new Map(rest.map((text, i) => [table.columns[i + 1]?.name ?? "", text]));
      return { key: `${table.title}/${first}`, row: first ?? "", cells };
    }),
  );
}

const textOf = (cell: Cell): string => (typeof cell === "string" ? cell : cell.text);
