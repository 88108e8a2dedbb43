import { render, screen, within } from "@testing-library/svelte";
import { expect, test } from "vitest";
import Ruled from "./Ruled.svelte";
import Sentences from "./Sentences.svelte";
import { HATCHES, hatchId } from "./hatch";
import { readPath } from "./route.svelte";
import { said } from "./samples";
import { working } from "./working.svelte";

const columns = [
  { name: "item", number: false, wide: true },
  { name: "need", number: true, wide: false },
];

test("a ruled table is a table, and a figure with a path opens its working", () => {
  render(Ruled, { table: { title: "What to buy", columns, rows: [["MAP", { text: "342 lb", path: "buy.map" }]] } });
  const table = screen.getByRole("table", { name: "What to buy" });
  expect(within(table).getByRole("rowheader").textContent?.trim()).toBe("MAP");
  within(table).getByRole("button", { name: "342 lb" }).click();
  expect(working.path).toBe("buy.map");
  working.close();
});

test("a text of a cell is text, whatever it holds", () => {
  render(Ruled, { table: { title: "", columns, rows: [["<img src=x onerror=alert(1)>", "1"]] } });
  expect(document.querySelector("img")).toBeNull();
});

test("a sentence that several planners say is read once", () => {
  const one = said("caution", "Lime dust burns eyes.", "a");
  render(Sentences, { all: [one, { ...one, about: "b" }] });
  expect(screen.getAllByText("Lime dust burns eyes.").length).toBe(1);
});

test("kinds are told apart by pattern: no two hatches are the same, plots aside", () => {
  const drawn = Object.entries(HATCHES).filter(([kind]) => kind !== "sown" && kind !== "found");
  const tiles = drawn.map(([, h]) => `${h.size} ${h.path} ${h.dots}`);
  expect(new Set(tiles).size).toBe(tiles.length);
  expect(hatchId("native-grass field")).toBe("hatch-native-grass-field");
});

test("the first part of a path is the page", () => {
  expect(readPath("/").page).toBe("year");
  const { page, rest } = readPath("/ground/abc%20d");
  expect([page, rest]).toEqual(["ground", ["abc d"]]);
});
