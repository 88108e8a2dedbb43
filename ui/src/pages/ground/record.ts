/** What the record and the plan know of one place, as the server says it. */
import { ask } from "../../lib/api";
import type { Cell } from "../../lib/form";

/** One entry about a place, in words. */
export interface Told {
  on: string;
  said_at: string;
  author: string;
  kind: string;
  /** What it is: 'soil test', 'note'. */
  what: string;
  text: string;
  /** Whether it is a count of something. */
  counts: boolean;
  taken_back: boolean;
}

export interface Permit {
  id: string;
  body: Record<string, unknown>;
  /** Why it speaks of this place, where it does not name it. */
  why: string;
  in_force: boolean;
}

export interface Known {
  history: Told[];
  permissions: Permit[];
  cost: Cell;
}

export async function askRecord(place: string): Promise<Known> {
  const query = `place=${encodeURIComponent(place)}`;
  const [history, known] = await Promise.all([
    ask<Told[]>(`history?${query}`),
    ask<Omit<Known, "history">>(`place?${query}`),
  ]);
  return { history, ...known };
}
