/**
 * What this device keeps to read in the field, beside the state: relief and the workings that were
 * opened. A database of its own: what is written down (store.ts) never waits for it.
 */
import { own } from "./base";
import { openDB, type DBSchema, type IDBPDatabase } from "idb";
import type { Relief, State, Why } from "./form";
import { tongue } from "./language.svelte";
import { reading } from "./units.svelte";

export interface KeptRelief {
  tract: string;
  said: Relief;
  /** The picture under `said.image`; null where it is larger than is kept. */
  picture: Blob | null;
}

interface KeptWorking {
  /** The state that it is a working of. */
  of: string;
  why: Why;
  at: number;
}

interface Field extends DBSchema {
  relief: { key: string; value: KeptRelief };
  workings: { key: string; value: KeptWorking };
}

/** How many opened workings are kept. */
export const MOST_WORKINGS = 200;
const THE_ONE = "relief";

let opened: Promise<IDBPDatabase<Field>> | undefined;

function field(): Promise<IDBPDatabase<Field>> {
  opened ??= openDB<Field>(own("fencerow-field"), 1, {
    upgrade(db) {
      db.createObjectStore("relief");
      db.createObjectStore("workings");
    },
    blocking() {
      void opened?.then((db) => db.close());
      opened = undefined;
    },
  }).catch((error: unknown) => {
    opened = undefined;
    throw error;
  });
  return opened;
}

/** What a state is told apart by: its tract, its record, its day. */
export const markOf = (state: State): string => [state.tract.id, state.log.digest, state.as_of].join(" ");

/** The relief of a tract, if it is the one that is kept. */
export async function keptRelief(tract: string): Promise<KeptRelief | null> {
  const found = await field().then((db) => db.get("relief", THE_ONE), () => undefined);
  return found?.tract === tract ? found : null;
}

/** Keep one relief, in the place of any other; null forgets it. */
export async function keepRelief(relief: KeptRelief | null): Promise<void> {
  const db = await field();
  if (relief === null) await db.delete("relief", THE_ONE);
  else await db.put("relief", relief, THE_ONE);
}

/** The working of a figure of this state, if it was opened on this device. */
export async function keptWorking(path: string, of: State): Promise<Why | null> {
  const found = await field().then((db) => db.get("workings", nameOf(path)), () => undefined);
  return found?.of === markOf(of) ? found.why : null;
}

/** Keep a working that was opened; those of an earlier state go, and the oldest beyond what is kept. */
export async function keepWorking(path: string, of: State, why: Why): Promise<void> {
  const change = (await field()).transaction("workings", "readwrite");
  await change.store.put({ of: markOf(of), why, at: Date.now() }, nameOf(path));
  const [names, all] = await Promise.all([change.store.getAllKeys(), change.store.getAll()]);
  const rows = names.map((name, i) => ({ name, ...all[i]! })).sort((a, b) => b.at - a.at);
  const over = rows.filter((row, i) => row.of !== markOf(of) || i >= MOST_WORKINGS);
  for (const { name } of over) void change.store.delete(name);
  await change.done;
}

/** Forget all of it: for a device that is handed to somebody else. */
export async function forgetField(): Promise<void> {
  const db = await field();
  await Promise.all([db.clear("relief"), db.clear("workings")]);
}

/** A working is kept in the units and the language that it was read in. */
const nameOf = (path: string): string => `${reading.units} ${tongue.language} ${path}`;
