/** What the record and the plan know of one place, as the server says it. */
import { get } from "../../lib/api";
import type { HistoryRow, PlaceRecord } from "../../lib/form";

export interface Known extends PlaceRecord {
  history: HistoryRow[];
}

export async function askRecord(place: string): Promise<Known> {
  const [history, known] = await Promise.all([get("/api/history", { place }), get("/api/place", { place })]);
  return { history, ...known };
}
