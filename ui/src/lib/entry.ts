/** Entries are the one form in which anything is written down; each has an id of its own. */
import type { Entry } from "./form";

const LETTERS = "0123456789abcdefghjkmnpqrstvwxyz";

/** A new id: 80 random bits in 16 letters that are not mistaken for one another on paper. */
export function newId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => LETTERS[byte % 32]).join("");
}

export interface Draft {
  kind: string;
  body: Record<string, unknown>;
  /** What it is about; a new thing where it is left out. */
  subject?: string;
  /** The entries that it replaces: the thing's own, where it is a change. */
  parents?: string[];
  happened_on?: string | null;
  visibility?: string;
}

/** A draft in its envelope. */
export function makeEntry(draft: Draft, device: string, batch = newId(), now = new Date()): Entry {
  return {
    id: newId(),
    kind: draft.kind,
    schema: 1,
    subject: draft.subject ?? newId(),
    parents: draft.parents ?? [],
    author: "",
    device,
    said_at: now.toISOString(),
    happened_on: draft.happened_on ?? null,
    batch,
    visibility: draft.visibility ?? "all",
    body: plain(draft.body),
  };
}

/** The draft that takes entries back. */
export const undoOf = (ids: string[]): Draft => ({ kind: "undo", body: { entries: ids } });

/** Values only: no proxies of the state, and nothing that is not there. */
function plain(body: Record<string, unknown>): Record<string, unknown> {
  return JSON.parse(JSON.stringify(body)) as Record<string, unknown>;
}
