/** What this device keeps: the record as last seen, what waits to be sent, what was refused. */
import { APART, own } from "./base";
import { openDB, type DBSchema, type IDBPDatabase } from "idb";
import type { Entry, State } from "./form";

export interface Waiting {
  id: string;
  /** The order in which it was written here. */
  at: number;
  tract: string;
  entry: Entry;
}

export interface Aside extends Waiting {
  text: string;
}

interface Shelf extends DBSchema {
  waiting: { key: string; value: Waiting };
  aside: { key: string; value: Aside };
  seen: { key: string; value: { state: State; at: number } };
  own: { key: string; value: string };
  /** Photos that wait to be sent, by the SHA-256 of their bytes. */
  photos: { key: string; value: Blob };
}

const NAME = "fencerow";
let opened: Promise<IDBPDatabase<Shelf>> | undefined;

export function shelf(): Promise<IDBPDatabase<Shelf>> {
  opened ??= open(own(NAME)).catch((error: unknown) => {
    opened = undefined;
    throw error;
  });
  return opened;
}

function open(name: string): Promise<IDBPDatabase<Shelf>> {
  return openDB<Shelf>(name, 2, {
    upgrade(db, from) {
      db.createObjectStore("photos");
      if (from > 0) return;
      db.createObjectStore("waiting", { keyPath: "id" });
      db.createObjectStore("aside", { keyPath: "id" });
      db.createObjectStore("seen");
      db.createObjectStore("own");
    },
  });
}

/** Under what the list of all tracts is kept, before the tracts, as last seen. */
export const LIST = "tracts";

/** Let go of the list: who is signed out of a tract no longer sees its line. */
export async function forgetList(): Promise<void> {
  if (APART === "") return;
  const front = await open(NAME);
  await front.delete("own", LIST);
  front.close();
}

/** The name of this device in the record: made once, kept here. */
export async function deviceName(make: () => string): Promise<string> {
  const db = await shelf();
  const known = await db.get("own", "device");
  if (known !== undefined) return known;
  const made = `page-${make().slice(0, 6)}`;
  await db.put("own", made, "device");
  return made;
}
