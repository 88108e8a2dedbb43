import { expect, test } from "vitest";
import { makeEntry, newId, undoOf } from "./entry";

test("ids are 16 letters that are not mistaken for one another, and never twice", () => {
  const ids = Array.from({ length: 5000 }, newId);
  expect(new Set(ids).size).toBe(5000);
  for (const id of ids) expect(id).toMatch(/^[0-9abcdefghjkmnpqrstvwxyz]{16}$/);
});

test("every letter comes up about as often as any other", () => {
  const counts = new Map<string, number>();
  for (const letter of Array.from({ length: 4000 }, newId).join("")) {
    counts.set(letter, (counts.get(letter) ?? 0) + 1);
  }
  expect(counts.size).toBe(32);
  for (const count of counts.values()) expect(Math.abs(count - 2000)).toBeLessThan(300);
});

test("an entry has the record's envelope, whole", () => {
  const now = new Date("2027-02-03T04:05:06Z");
  const entry = makeEntry({ kind: "note", body: { text: "rain" } }, "page-1", "b", now);
  expect(Object.keys(entry).sort()).toEqual(
    ["author", "batch", "body", "device", "happened_on", "id", "kind", "parents", "said_at",
      "schema", "subject", "visibility"],
  );
  expect(entry.said_at).toBe("2027-02-03T04:05:06.000Z");
  expect(entry.id).not.toBe(entry.subject);
});

test("what is not there is left out of a body", () => {
  const entry = makeEntry({ kind: "note", body: { text: "x", place: undefined } }, "d");
  expect(entry.body).toEqual({ text: "x" });
});

test("an undo names what it takes back", () => {
  expect(undoOf(["a", "b"])).toEqual({ kind: "undo", body: { entries: ["a", "b"] } });
});
