import { render, screen } from "@testing-library/svelte";
import { expect, test } from "vitest";
import { tick } from "svelte";
import Parts from "../../lib/Parts.svelte";
import { bound } from "../../lib/parts";
import { working } from "../../lib/working.svelte";
import First from "./First.svelte";
import Strips from "./Strips.svelte";
import { shown } from "./shown.svelte";

test("the first words stand until they are put away, and the device remembers", async () => {
  localStorage.clear();
  shown.put(true);
  render(First);
  screen.getByRole("button", { name: "Put this away" }).click();
  await tick();
  expect(screen.queryByRole("region", { name: "What this page is" })).toBeNull();
  expect(localStorage.getItem("shown")).toBe("1");
  shown.put(true);
  await tick();
  expect(screen.getByRole("region", { name: "What this page is" })).toBeTruthy();
  expect(localStorage.getItem("shown")).toBeNull();
});

test("a figure in a sentence opens, and no bracket is left alone", () => {
  const parts = [{ text: "in " }, { text: "27", path: "a" }, { text: " years (" }, { text: "78 %", path: "b" }, { text: "), or so" }];
  const whole = parts.map((p) => p.text).join("");
  expect(bound(parts).map((p) => p.before + p.text + p.after).join("")).toBe(whole);
  expect(bound(parts)[3]).toMatchObject({ before: "(", text: "78 %", after: ")," });
  const { container } = render(Parts, { text: whole, parts });
  expect(container.textContent).toBe(whole);
  screen.getByRole("button", { name: "78 %" }).click();
  expect(working.path).toBe("b");
  working.close();
});

test("a week is chosen by the arrow keys", async () => {
  const weeks = [0, 1, 2].map((at) => ({
    x: at * 3, width: 3, rain: [0, 0.4, 1.5] as [number, number, number], fell: at === 0 ? 0.7 : null,
    gauge: at === 1 ? 0.9 : null, fit: [2, 4] as [number, number],
  }));
  const found: number[] = [];
  const { container } = render(Strips, {
    weeks, depth: "in", unit: 7, px: 63, rainTop: 0, fitTop: 80, week: 1, label: "Week of Apr 3", narrow: true, onweek: (w: number) => found.push(w),
  });
  screen.getByRole("slider").dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowRight", bubbles: true }));
  await tick();
  expect(found).toEqual([2]);
  const count = (cls: string): number => container.querySelectorAll(cls).length;
  expect([count(".usual"), count(".fell"), count(".gauge"), count(".every"), count(".best")]).toEqual([3, 1, 1, 6, 6]);
});
