/** What a page lists of its sheets: their titles, and within one its drawings and tables. */
import type { Sheet, Table } from "./form";

export interface Entry {
  id: string;
  title: string;
  /** Whether it stands within the sheet before it. */
  within?: boolean;
}

export const drawingId = (sheet: Sheet, at: number): string => `${sheet.id}.drawing-${at}`;
export const tableId = (sheet: Sheet, at: number): string => `${sheet.id}.table-${at}`;

/** The tables below those that lead. */
export const restOf = (sheet: Sheet): Table[] => sheet.tables.filter((t) => t.leads !== true);

/** A sheet and all in it that has a title. */
export function entriesOf(sheet: Sheet): Entry[] {
  const drawings = sheet.drawings.map((d, i) => ({ id: drawingId(sheet, i), title: d.title, within: true }));
  const tables = restOf(sheet).map((t, i) => ({ id: tableId(sheet, i), title: t.title, within: true }));
  return [{ id: sheet.id, title: sheet.title }, ...[...drawings, ...tables].filter((e) => e.title !== "")];
}
