import { render, screen } from "@testing-library/svelte";
import { expect, test, vi } from "vitest";
import { planned, said, task } from "../../lib/samples";
import Trial from "./Trial.svelte";
import { compare, isNothing } from "../../lib/moves";
import { draftOf, type Move } from "./trial";

const move: Move = {
  subject: "c1", kind: "closing", field: "closes", day: "2027-09-05", to: "2027-08-25", place: "", label: "",
};
const year = (next: ReturnType<typeof task>[]) => ({ late: [], next, later: [], done: [] });

test("a change is the thing's whole new state", () => {
  const body = { closes: "2027-09-05", opens: "2028-01-02" };
  expect(draftOf(move, body)).toEqual({
    kind: "closing", subject: "c1", body: { closes: "2027-08-25", opens: "2028-01-02" },
  });
});

test("what moves, comes, falls away, is newly said; a changed list alone moves nothing", () => {
  const before = planned({
    year: year([task("a", "2027-09-05"), task("b", "2027-09-09")]),
    said: [said("note", "old")],
  });
  const after = planned({
    year: { late: [task("a", "2027-08-25")], next: [task("c", "2027-09-01")], later: [], done: [] },
    said: [
      said("note", "new"),
      said("ask", "asked"),
      said("ask", "asked", "again"),
    ],
  });
  const moves = compare(before, after);
  expect(moves.moved.map((m) => [m.task.id, m.from])).toEqual([["a", "2027-09-05"]]);
  expect([moves.comes.map((t) => t.id), moves.goes.map((t) => t.id)]).toEqual([["c"], ["b"]]);
  expect(moves.begins.map((s) => s.text)).toEqual(["asked", "new"]);
  expect(moves.ends.map((s) => s.text)).toEqual(["old"]);
  expect(isNothing(compare(before, before))).toBe(true);
});

test("cells that differ are told by their row, in the sheets that are asked for", () => {
  const columns = ["item", "cost"].map((name) => ({ name, number: false, wide: false }));
  const sheet = (id: string, ...rows: (string | { text: string; path: string })[][]) => ({
    id, title: "What to buy", under: "", under_parts: [], said: [], drawings: [], tables: [{ title: "", columns, rows }],
  });
  const before = planned({ sheets: [sheet("buy", ["lime", { text: "$80", path: "a" }], ["rye", "$30"]), sheet("ground", ["a", "1"])] });
  const after = planned({ sheets: [sheet("buy", ["rye", "$45"], ["lime", "$80"], ["oats", "$9"]), sheet("ground", ["a", "2"])] });
  expect(compare(before, after, ["buy"]).cells).toEqual([
    { sheet: "What to buy", row: "rye", column: "cost", from: "$30", to: "$45" },
  ]);
  expect(isNothing(compare(before, after))).toBe(true);
  expect(isNothing(compare(before, after, ["buy"]))).toBe(false);
});

test("the panel says what moves and offers to keep it or put it back", () => {
  const calls = { onday: vi.fn(), onkeep: vi.fn(), onback: vi.fn() };
  const before = planned({ year: year([task("a", "2027-09-05", "close the ground")]) });
  const after = planned({ year: year([task("a", "2027-08-25", "close the ground")]) });
  render(Trial, { move, before, after, trouble: "", ...calls });
  expect(screen.getByRole("heading", { level: 2 }).textContent).toBe("close the ground on Aug 25 instead of Sep 5");
  expect(screen.getByText("close the ground: 2027-09-05 becomes 2027-08-25")).toBeTruthy();
  screen.getByRole("button", { name: "a week later" }).click();
  expect(calls.onday).toHaveBeenCalledWith("2027-09-01");
  screen.getByRole("button", { name: "Keep" }).click();
  screen.getByRole("button", { name: "Put back" }).click();
  expect([calls.onkeep.mock.calls.length, calls.onback.mock.calls.length]).toEqual([1, 1]);
});
