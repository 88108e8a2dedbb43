/** A day that is moved on the ribbon. */
import type { Draft } from "../../lib/entry";
import type { Movable } from "./ribbon";

export interface Move extends Movable {
  to: string;
}

/** The draft that writes a move down: the whole new state of the thing. */
export function draftOf(move: Move, body: Record<string, unknown>): Draft {
  return { kind: move.kind, subject: move.subject, body: { ...body, [move.field]: move.to } };
}
