/** What a table says, in plain words: for those who hear it. */
import type { Cell, Table } from "./form";

export const textOf = (cell: Cell | undefined): string =>
  cell === undefined ? "" : typeof cell === "string" ? cell : cell.text;

/** The way to the working of a cell: its own, or that of its column's series. */
export function pathOf(table: Table, row: number, column: number): string | null {
  const cell = table.rows[row]?.[column];
  if (cell === undefined || cell === "") return null;
  if (typeof cell !== "string") return cell.path;
  return table.columns[column]?.series?.replace("*", table.keys?.[row] ?? String(row)) ?? null;
}

/** A row as a sentence: 'Aug 14: look for in plots 160, find 80'. */
export function sayRow(table: Table, at: number): string {
  const row = table.rows[at] ?? [];
  const told = table.columns.slice(1).flatMap((column, i) => {
    const text = textOf(row[i + 1]);
    return text ? [`${column.name} ${text}`] : [];
  });
  return `${textOf(row[0])}: ${told.join(", ")}`;
}
