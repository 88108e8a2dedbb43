/** A walk in progress: what was chosen, and what each throw held. Kept on this device at each tap. */
import type { Draft } from "../../../lib/entry";
import { shelf } from "../../../lib/store";

export type Method = "frequency grid" | "seedlings in frames" | "cover by steps" | "cover by eye";

export interface Walking {
  tract: string;
  subject: string;
  place: string;
  method: Method;
  throws: number;
  cells: number;
  frame_ft2: number;
  species: string;
  with_weeds: boolean;
  on: string;
  /** What each throw held; of steps 1 where the crop was met, else 0. */
  taken: number[];
  weeds: number[];
}

const NAME = "count-walk";

/** The walk that is kept here, if there is one. */
export async function keptWalk(): Promise<Walking | null> {
  const text = await (await shelf()).get("own", NAME);
  return text === undefined ? null : (JSON.parse(text) as Walking);
}

/** Keep it as it is now; it is on the device before this returns. */
export async function keepWalk(walk: Walking | null): Promise<void> {
  const db = await shelf();
  if (walk === null) await db.delete("own", NAME);
  else await db.put("own", JSON.stringify(walk), NAME);
}

/** Whether the next tap is for weeds: they come after what the same throw held. */
export const wantsWeeds = (w: Walking): boolean => w.with_weeds && w.weeds.length < w.taken.length;

/** Whether every throw is taken. */
export const isWhole = (w: Walking): boolean => w.taken.length >= w.throws && !wantsWeeds(w);

/** The walk with one more tap. */
export function withTap(w: Walking, number: number): Walking {
  return wantsWeeds(w) ? { ...w, weeds: [...w.weeds, number] } : { ...w, taken: [...w.taken, number] };
}

/** The walk without its last tap. */
export function withoutLast(w: Walking): Walking {
  const last = w.with_weeds && w.weeds.length === w.taken.length && w.weeds.length > 0;
  return last ? { ...w, weeds: w.weeds.slice(0, -1) } : { ...w, taken: w.taken.slice(0, -1) };
}

const sum = (numbers: number[]): number => numbers.reduce((a, b) => a + b, 0);

/** The plain count so far. */
export const soFar = (w: Walking): { sum: number; throws: number; cells: number } => ({
  sum: sum(w.taken),
  throws: w.taken.length,
  cells: w.taken.length * w.cells,
});

/** The draft of the count, throw by throw. */
export function draftOf(w: Walking, note = ""): Draft {
  const held: Record<Method, Record<string, unknown>> = {
    "frequency grid": { cells: w.cells, hits: w.taken },
    "seedlings in frames": { frame_ft2: w.frame_ft2, counts: w.taken },
    "cover by steps": { steps: w.taken.length, hits: [sum(w.taken)] },
    "cover by eye": { glances_pct: w.taken },
  };
  const body = {
    place: w.place,
    on: w.on,
    method: w.method,
    ...(w.species && { species: w.species }),
    ...held[w.method],
    ...(w.weeds.length > 0 && { weeds: w.weeds }),
    ...(note.trim() && { note: note.trim() }),
  };
  return { kind: "count", subject: w.subject, parents: [], body, happened_on: w.on };
}
