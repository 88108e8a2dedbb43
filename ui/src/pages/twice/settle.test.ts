import { expect, test } from "vitest";
import { makeEntry, undoOf } from "../../lib/entry";
import type { Conflict } from "../../lib/form";
import { draftOf, used, waitsFor } from "./settle";

const head = { kind: "place", subject: "mead", happened_on: null, visibility: "hunters", author: "", device: "", said_at: "", removes: false, may: true };
const both: Conflict = {
  subject: "mead", entries: ["a", "b"], parents: ["a", "b"], text: "", title: "", clash: false, rows: [],
  heads: [{ ...head, body: { name: "Mead" } }, { ...head, kind: "remove", removes: true, body: {} }],
};

test("a word that settles names both, and keeps who sees it", () => {
  expect(draftOf(both, 0)).toEqual({
    kind: "place", subject: "mead", body: { name: "Mead" }, visibility: "hunters", happened_on: null, parents: ["a", "b"],
  });
  expect(draftOf(both, 1).kind).toBe("remove");
});

test("what waits here is settled until it is taken back here", () => {
  const settled = makeEntry(draftOf(both, 1), "phone");
  const half = makeEntry({ ...draftOf(both, 0), parents: ["a"] }, "phone");
  expect(waitsFor(both, [half])).toBe(false);
  expect(waitsFor(both, [half, settled])).toBe(true);
  expect(waitsFor(both, [settled, makeEntry(undoOf([settled.id]), "phone")])).toBe(false);
  expect(waitsFor({ ...both, parents: [] }, [settled])).toBe(false);
});

test("the word that is used is told apart, but not of a clash", () => {
  expect(used(both, () => "b")).toBe(1);
  expect(used({ ...both, clash: true, entries: ["a"] }, () => "a")).toBe(-1);
});
