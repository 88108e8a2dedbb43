/** A note, or the mark on a task, as it goes into the record. */
import type { Draft } from "./entry";
import { rainText } from "./measure";
import { say } from "./words";

export const ABOUT = ["rain", "done", "seen", "weeds", "count", "visit", "photo", "other"] as const;
export type About = (typeof ABOUT)[number];

export interface Jotted {
  about: About;
  text: string;
  amount: number | null;
  place: string;
  on: string;
  task: string;
  /** The SHA-256 of a photo that is kept. */
  photo: string;
}

/** Whether enough is said to be written down. */
export const says = (j: Jotted): boolean =>
  j.text.trim() !== "" || j.amount !== null || j.photo !== "" || (j.about === "done" && j.task !== "");

/** The draft of a note; of a mark where a task of the year is named as done. */
export function draftOf(j: Jotted): Draft {
  if (j.about === "done" && j.task !== "") {
    const note = j.text.trim();
    return { kind: "done", body: { task: j.task, part: "done", ...(note && { note }) }, happened_on: j.on };
  }
  const amount = j.amount === null ? {} : { amount: j.amount, unit: j.about === "rain" ? "in" : "" };
  const photo = j.photo === "" ? {} : { photo: j.photo };
  const body = { about: j.about, text: j.text.trim(), place: j.place, ...amount, ...photo };
  return { kind: "note", body, happened_on: j.on };
}

/** Rain as it is read; in a unit of the note's own where that is not the inch. */
function rainSaid(amount: number, unit: unknown): string {
  const inches = unit === "in" || !unit;
  return say("log-rain-said", { amount: inches ? rainText(amount) : `${amount} ${String(unit)}` });
}

/** What a note says in a few words. */
export function told(body: Record<string, unknown>): string {
  const parts = [body["text"] || body["note"]].filter(Boolean).map(String);
  const amount = body["amount"];
  if (typeof amount === "number") {
    parts.unshift(body["about"] === "rain" ? rainSaid(amount, body["unit"]) : say("log-count-said", { amount }));
  }
  if (body["photo"]) parts.push(say("log-photo-said"));
  return parts.join(", ");
}
