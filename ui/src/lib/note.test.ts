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

test("milkweed goes into the record as a test at a sit, and a sit as a sit", () => {
  const drift = jotted({ about: "drift", place: "s1", way: "WSW", at: "16:40" });
  expect(says(drift)).toBe(true);
  expect(says({ ...drift, place: "" })).toBe(false);
  expect(draftOf(drift)).toEqual({
    kind: "drift",
    body: { place: "s1", on: "2027-05-01", at: "16:40", went_deg: 247.5 },
    happened_on: "2027-05-01",
  });
  expect(told(draftOf(drift).body)).toBe("milkweed toward WSW at 16:40");
  expect(draftOf(jotted({ about: "sat", place: "s1", noticed: "heard", text: "two does" })).body).toEqual({
    place: "s1", on: "2027-05-01", noticed: "heard", seen: "two does",
  });
});

test("a wind needs its speed, and a direction unless it is a calm", () => {
  expect(says(jotted({ about: "wind", amount: 6 }))).toBe(false);
  expect(says(jotted({ about: "wind", amount: 0 }))).toBe(true);
  const wind = draftOf(jotted({ about: "wind", amount: 6, way: "NW" }));
  expect(wind.body).toEqual({ about: "wind", text: "", place: "", amount: 6, unit: "mph", facing_deg: 315 });
  expect(told(wind.body)).toBe("wind NW 6 mph");
});

test("what it says in a few words", () => {
  expect(told({ about: "rain", amount: 1.4, text: "hail too" })).toBe("1.4 in of rain, hail too");
  expect(told({ about: "count", amount: 11 })).toBe("11 counted");
});
