import { expect, test } from "vitest";
import { clockOf, lateAt, momentOf, outNow } from "./out";
import type { Entry, Kept, Place } from "./form";

const kept = (id: string, body: Record<string, unknown>): Kept => ({ id, entry: `e${id}`, on: null, body }) as Kept;
const known = (outings: Kept[]) => ({
  things: (kind: string) => (kind === "outing" ? outings : [kept("ash", { name: "Ash" })]),
  place: (id: string) => (id === "p" ? ({ name: "Spruce Blind" } as Place) : undefined),
});
const OUT = { person: "ash", place: "p", left_at: "2027-11-10T19:00:00Z", back_by: "2027-11-11T01:15:00Z" };
const waits = (subject: string, body: Record<string, unknown>): Entry => ({ kind: "outing", subject, body }) as Entry;

test("late is by the minute, and only for those who are not back", () => {
  const out = outNow(known([kept("a", OUT), kept("b", { ...OUT, back_at: "2027-11-10T22:00:00Z" })]), []);
  expect(out.map((o) => [o.who, o.where])).toEqual([["Ash", "Spruce Blind"]]);
  expect(lateAt(out, new Date("2027-11-11T01:15:00Z"))).toEqual([]);
  expect(lateAt(out, new Date("2027-11-11T01:15:01Z")).map((o) => o.id)).toEqual(["a"]);
});

test("what waits here goes before the record: back is back, and out is out", () => {
  const back = waits("a", { ...OUT, back_at: "2027-11-11T01:00:00Z" });
  expect(outNow(known([kept("a", OUT)]), [back])).toEqual([]);
  expect(outNow(known([]), [waits("n", { guest: "Fern", left_at: OUT.left_at })])[0]!.who).toBe("Fern");
});

test("who gave no time is late after a day", () => {
  const out = outNow(known([kept("a", { ...OUT, back_by: undefined })]), []);
  expect(lateAt(out, new Date("2027-11-11T18:59:00Z"))).toEqual([]);
  expect(lateAt(out, new Date("2027-11-11T19:01:00Z"))).toHaveLength(1);
});

test("the clock of the tract, and the day where it is another", () => {
  const at = new Date("2027-11-11T01:15:00Z");
  expect(clockOf(at, "America/Chicago", "2027-11-10")).toBe("7:15 pm");
  expect(clockOf(at, "America/Chicago", "2027-11-11")).toContain("Nov 10");
  const now = new Date("2026-05-02T12:00:00Z");
  expect(momentOf("2027-05-02", "2026-05-02", now).toISOString()).toBe("2027-05-02T12:00:00.000Z");
});
