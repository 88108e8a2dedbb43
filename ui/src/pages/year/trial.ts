/** What a change of one day would move: the year with it, held against the year without. */
import type { Draft } from "../../lib/entry";
import type { Planned, Said, Task, Year } from "../../lib/form";
import type { Movable } from "./ribbon";

export interface Move extends Movable {
  to: string;
}

/** The draft that writes a move down: the whole new state of the thing. */
export function draftOf(move: Move, body: Record<string, unknown>): Draft {
  return { kind: move.kind, subject: move.subject, body: { ...body, [move.field]: move.to } };
}

export interface Moves {
  moved: { task: Task; from: string }[];
  comes: Task[];
  goes: Task[];
  begins: Said[];
  ends: Said[];
}

/** What differs between two plans, in tasks and in sentences. */
export function compare(before: Planned, after: Planned): Moves {
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
  };
}

export const isNothing = (m: Moves): boolean =>
  m.moved.length + m.comes.length + m.goes.length + m.begins.length + m.ends.length === 0;

const tasksOf = (year: Year): Map<string, Task> =>
  new Map([...year.late, ...year.next, ...year.later, ...year.done].map((t) => [t.id, t]));

function newIn(before: Said[], after: Said[]): Said[] {
  const known = new Set(before.map((s) => s.text));
  const order = ["stopped", "ask", "caution", "doubt", "note"];
  return after
    .filter((s, i) => !known.has(s.text) && after.findIndex((o) => o.text === s.text) === i)
    .sort((a, b) => order.indexOf(a.weight) - order.indexOf(b.weight));
}
