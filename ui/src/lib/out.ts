/** Who is out: by the record, by what waits here to be sent, and by the clock of this device. */
import { shortDay } from "./days";
import type { Entry, Kept, Place } from "./form";
import { tongue } from "./language.svelte";

export interface Outing {
  id: string;
  who: string;
  where: string;
  left: Date;
  backBy: Date | null;
}

interface Known {
  things(kind: string): Kept[];
  place(id: string): Place | undefined;
}

type Body = Record<string, unknown>;

/** Everybody who is out and not back; what was written here last goes before the record. */
export function outNow(known: Known, waiting: readonly Entry[]): Outing[] {
  const bodies = new Map(known.things("outing").map((t) => [t.id, t.body as Body]));
  for (const entry of waiting) {
    if (entry.kind === "outing") bodies.set(entry.subject, entry.body as Body);
    if (entry.kind === "remove") bodies.delete(entry.subject);
  }
  return [...bodies].filter(([, b]) => !b["back_at"] && b["left_at"]).map(([id, b]) => outingOf(known, id, b));
}

function outingOf(known: Known, id: string, body: Body): Outing {
  const person = known.things("person").find((p) => p.id === body["person"]);
  const names = [body["place"], body["route"]].map((i) => known.place(String(i ?? ""))?.name);
  return {
    id,
    who: String(person?.body["name"] ?? body["guest"] ?? ""),
    where: names.filter((n) => n !== undefined).join(", "),
    left: new Date(String(body["left_at"])),
    backBy: body["back_by"] ? new Date(String(body["back_by"])) : null,
  };
}

const DAY_MS = 86_400_000;

/** Those who are late at a moment, the latest first: past their time, or out for a day without one. */
export function lateAt(out: readonly Outing[], now: Date): Outing[] {
  const due = (o: Outing): number => o.backBy?.getTime() ?? o.left.getTime() + DAY_MS;
  return out.filter((o) => due(o) < now.getTime()).sort((a, b) => due(a) - due(b));
}

/**
 * The moment that it is for the tract: this device's clock, on the day that the server was started
 * for where that is another.
 */
export function momentOf(day: string, today: string, now = new Date()): Date {
  const ahead = Date.parse(`${day}T00:00:00Z`) - Date.parse(`${today}T00:00:00Z`);
  return new Date(now.getTime() + ahead);
}

const CLOCKS = { en: "en-US", es: "es-US" };

/** A moment by the clocks of a zone: '7:15 pm', with its day where that is another than `day`. */
export function clockOf(at: Date, zone: string, day: string): string {
  const told = new Intl.DateTimeFormat(CLOCKS[tongue.language], { hour: "numeric", minute: "2-digit", timeZone: zone })
    .format(at)
    .replace(/\s/g, " ")
    .toLowerCase();
  const on = new Intl.DateTimeFormat("en-CA", { timeZone: zone }).format(at);
  if (on === day) return told;
  return `${told}, ${shortDay(on)}`;
}
