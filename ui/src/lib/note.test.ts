import { expect, test } from "vitest";
import { draftOf, says, told, type Jotted } from "./note";

const jotted = (parts: Partial<Jotted>): Jotted => ({
  about: "other", text: "", amount: null, place: "", on: "2027-05-01", task: "", photo: "", ...parts,
});

test("a note says something, or is not written", () => {
  expect(says(jotted({ text: "  " }))).toBe(false);
  expect(says(jotted({ text: "two does" }))).toBe(true);
  expect(says(jotted({ about: "rain", amount: 0 }))).toBe(true);
  expect(says(jotted({ about: "done", task: "lime.x" }))).toBe(true);
});

test("rain is an amount in inches, on its day and place", () => {
  expect(draftOf(jotted({ about: "rain", amount: 1.4, place: "p1" }))).toEqual({
    kind: "note",
    body: { about: "rain", text: "", place: "p1", amount: 1.4, unit: "in" },
    happened_on: "2027-05-01",
  });
});

test("a task that is done becomes a mark on it", () => {
  expect(draftOf(jotted({ about: "done", task: "lime.x", text: "2 tons" }))).toEqual({
    kind: "done",
    body: { task: "lime.x", part: "done", note: "2 tons" },
    happened_on: "2027-05-01",
  });
});

test("what it says in a few words", () => {
  expect(told({ about: "rain", amount: 1.4, text: "hail too" })).toBe("1.4 in of rain, hail too");
  expect(told({ about: "count", amount: 11 })).toBe("11 counted");
});
