import { expect, test, vi } from "vitest";
import type { Forms } from "./form";
import { fieldsOf, forms, numbersOf, withField } from "./forms";
import { json } from "./samples";
import { reading } from "./units.svelte";

const said = (name: string, type = "string", more = {}) => ({
  name, label: name, unit: "", required: false, type, choices: [], names: {}, stored: null, preset: null, least: null, most: null, items: [], ...more,
});
const all: Forms = {
  places: {},
  kinds: {
    planting: [
      said("place"), said("blend"), said("sow_on", "date"), said("method", "string", { choices: ["drilled", "broadcast"] }),
      said("covered", "boolean", { preset: true }), said("rate", "number", { most: 5 }),
    ],
    plot: [said("name"), said("kind", "fixed"), said("shape", "object"), said("note")],
    permission: [said("forbids", "array", { choices: ["mow", "burn"] }), said("places", "array"), said("others", "array")],
    blend: [said("components", "array")],
    "seed-lot": [said("species")],
  },
  species: { rye: "cereal rye", oats: "oats" },
};
const inputs = (kind: string) => fieldsOf(all, kind).map((f) => [f.name, f.input]);

test("each field by what it holds", () => {
  expect(inputs("planting")).toEqual([
    ["place", "place"], ["blend", "thing"], ["sow_on", "date"], ["method", "choice"], ["covered", "yes-no"], ["rate", "number"],
  ]);
  expect(inputs("permission")).toEqual([["forbids", "choices"], ["places", "places"]]);
});

test("a list is entered: numbers one after the other, plants and small things row by row", () => {
  const plain = said("", "number", { least: 0, required: true });
  const rows = [said("species"), said("days", "integer")];
  const lists = { kinds: { label: [
    said("readings", "array", { items: [plain] }), said("crops", "array", { items: [said("")] }), said("replant", "array", { items: rows }),
  ] }, places: {}, species: { rye: "cereal rye" } };
  const found = fieldsOf(lists, "label");
  expect(found.map((f) => f.input)).toEqual(["numbers", "rows", "rows"]);
  expect(found.map((f) => f.items.map((i) => [i.name, i.input]))).toEqual([
    [["", "number"]], [["", "choice"]], [["species", "choice"], ["days", "number"]],
  ]);
  expect(found[1]!.items[0]!.choices).toEqual(["rye"]);
  expect(numbersOf("18, 17.5  18;21 ")).toEqual([18, 17.5, 18, 21]);
});

test("a place's kind and outline are no fields of a form", () => {
  expect(inputs("plot")).toEqual([["name", "text"], ["note", "long"]]);
});

test("what holds where nothing is said", () => {
  expect(fieldsOf(all, "planting").map((f) => f.preset)).toEqual(["", "", "", "", "yes", ""]);
});

test("what is left empty is left out", () => {
  expect(withField({ a: 1, b: 2 }, "a", "")).toEqual({ b: 2 });
  expect(withField({ a: 1 }, "a", Number.NaN)).toEqual({});
  expect(withField({}, "a", false)).toEqual({ a: false });
});

test("a species is chosen by its common name, in a lot and in a blend", () => {
  const [lot] = fieldsOf(all, "seed-lot");
  expect([lot!.input, lot!.choices, lot!.names["rye"]]).toEqual(["choice", ["rye", "oats"], "cereal rye"]);
  const [parts] = fieldsOf(all, "blend");
  expect([parts!.input, parts!.choices]).toEqual(["components", ["rye", "oats"]]);
});

test("forms are kept for each manner of reading; one never seen comes in the units that were", async () => {
  const answer = vi.fn(async () => json({ kinds: {}, species: { rye: "us" } }));
  vi.stubGlobal("fetch", answer);
  expect((await forms()).species).toEqual({ rye: "us" });
  vi.stubGlobal("fetch", async () => { throw new TypeError("gone"); });
  reading.set("metric");
  expect((await forms()).species).toEqual({ rye: "us" });
  reading.set("us");
});

test("a preset is rounded to what is read", () => {
  const lot = { kinds: { lot: [said("bag", "number", { preset: 22.6796185 })] }, places: {}, species: {} };
  expect(fieldsOf(lot, "lot")[0]!.preset).toBe("22.68");
});
