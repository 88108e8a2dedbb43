/** A word that settles several: it names all of them as what it replaces. */
import type { Draft } from "../../lib/entry";
import type { Conflict, Entry } from "../../lib/form";

/** The draft that takes one of the words as it was said. */
export function draftOf(conflict: Conflict, at: number): Draft {
  const { kind, subject, body, visibility, happened_on } = conflict.heads[at]!;
  return { kind, subject, body, visibility, happened_on, parents: [...conflict.parents] };
}

/** Whether a word that settles it waits on this device, and has not been taken back here. */
export function waitsFor(conflict: Conflict, waiting: Entry[]): boolean {
  const undone = new Set(waiting.filter((e) => e.kind === "undo").flatMap((e) => e.body["entries"] as string[]));
  return waiting.some((e) => !undone.has(e.id) && conflict.parents.length > 0 && conflict.parents.every((p) => e.parents.includes(p)));
}

/** Which of the words the plan uses until then; -1 where that can't be told. */
export function used(conflict: Conflict, entryOf: (subject: string) => string | undefined): number {
  return conflict.clash ? -1 : conflict.entries.indexOf(entryOf(conflict.subject) ?? "");
}
