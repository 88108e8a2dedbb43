/** A note, or the mark on a task, as it goes into the record. */
import type { Draft } from "./entry";
import { rainText } from "./measure";
import { compass, say } from "./words";

export const ABOUT = [
  "rain", "done", "seen", "weeds", "count", "visit", "wind", "drift", "sat", "photo", "other",
] as const;
export type About = (typeof ABOUT)[number];
export const POINTS = [
  "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW",
] as const;
export const NOTICED = ["none", "smelled", "seen", "heard"] as const;
/** What is noted of a treestand or blind, and needs one. */
export const AT_A_SIT: readonly About[] = ["drift", "sat"];

/** The kind of entry that is written about something. */
export const kindOf = (about: About): string =>
  about === "done" || about === "drift" ? about : about === "sat" ? "sit" : "note";

export interface Jotted {
  about: About;
  text: string;
  amount: number | null;
  place: string;
  on: string;
  task: string;
  /** The SHA-256 of a photo that is kept. */
  photo: string;
  /** A point of the compass: where the wind blows from, or where milkweed went; a calm has none. */
  way?: string;
  /** The time on a 24-hour clock. */
  at?: string;
  /** How deer took notice of somebody who sat. */
  noticed?: string;
}

const degrees = (point: string): number => POINTS.findIndex((p) => p === point) * 22.5;

/** Whether enough is said to be written down. */
export const says = (j: Jotted): boolean =>
  AT_A_SIT.includes(j.about) ? j.place !== "" && (j.about === "sat" || (!!j.way && !!j.at))
  : j.about === "wind" ? j.amount !== null && (j.amount === 0 || !!j.way)
  : j.text.trim() !== "" || j.amount !== null || j.photo !== "" || (j.about === "done" && j.task !== "");

/** The draft of a note; of a mark where a task of the year is named as done. */
export function draftOf(j: Jotted): Draft {
  if (j.about === "done" && j.task !== "") {
    const note = j.text.trim();
    return { kind: "done", body: { task: j.task, part: "done", ...(note && { note }) }, happened_on: j.on };
  }
  const note = j.text.trim();
  if (j.about === "drift") {
    const body = { place: j.place, on: j.on, at: j.at ?? "", went_deg: degrees(j.way ?? "") };
    return { kind: "drift", body: { ...body, ...(note && { note }) }, happened_on: j.on };
  }
  if (j.about === "sat") {
    const noticed = j.noticed ? { noticed: j.noticed } : {};
    const body = { place: j.place, on: j.on, ...noticed, ...(note && { seen: note }) };
    return { kind: "sit", body, happened_on: j.on };
  }
  if (j.about === "wind") {
    const way = j.amount === 0 ? {} : { facing_deg: degrees(j.way ?? "") };
    const body = { about: j.about, text: note, place: j.place, amount: j.amount, unit: "mph", ...way };
    return { kind: "note", body, happened_on: j.on };
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

const point = (deg: number): string => compass(POINTS[Math.round(deg / 22.5) % 16] ?? "");

/** What a note says in a few words. */
export function told(body: Record<string, unknown>): string {
  const parts = [body["text"] || body["note"] || body["seen"]].filter(Boolean).map(String);
  if (typeof body["went_deg"] === "number") {
    parts.unshift(say("log-drift-said", { way: point(body["went_deg"]), at: String(body["at"]) }));
  }
  if (body["about"] === "wind") {
    const way = typeof body["facing_deg"] === "number" ? point(body["facing_deg"]) : "";
    return [say("log-wind-said", { way, speed: String(body["amount"]) }).trim(), ...parts].join(", ");
  }
  const amount = body["amount"];
  if (typeof amount === "number") {
    parts.unshift(body["about"] === "rain" ? rainSaid(amount, body["unit"]) : say("log-count-said", { amount }));
  }
  if (body["photo"]) parts.push(say("log-photo-said"));
  return parts.join(", ");
}
