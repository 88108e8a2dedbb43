import { expect, test } from "vitest";
import { fieldsOf, withField, type Forms } from "./forms";

const named = (name: string, required = false) => ({ name, label: name, unit: "", required });
const all: Forms = {
  kinds: {
    planting: ["place", "blend", "sow_on", "method", "covered", "until"].map((n) => named(n)),
    plot: ["name", "kind", "texture", "shape"].map((n) => named(n)),
    permission: ["forbids", "places"].map((n) => named(n)),
    blend: ["name", "components"].map((n) => named(n)),
    "seed-lot": ["species"].map((n) => named(n)),
  },
  species: { rye: "cereal rye", oats: "oats" },
  schemas: {
    blend: { properties: { name: { type: "string" }, components: { type: "array", items: { $ref: "#/$defs/Component" } } } },
    "seed-lot": { properties: { species: { type: "string" } } },
    planting: {
      properties: {
        place: { type: "string" },
        blend: { type: "string" },
        sow_on: { type: "string", format: "date" },
        method: { type: "string", enum: ["drilled", "broadcast"] },
        covered: { type: "boolean", default: true },
        until: { anyOf: [{ type: "string", format: "date" }, { type: "null" }] },
      },
    },
    place: {
      $defs: {
        Plot: {
          properties: {
            name: { type: "string", maxLength: 80 },
            kind: { const: "plot", type: "string" },
            texture: { anyOf: [{ type: "string", enum: ["loam"] }, { type: "null" }] },
            shape: { anyOf: [{ $ref: "#/$defs/Shape" }, { type: "null" }] },
          },
        },
        Shape: { type: "object" },
      },
    },
    permission: {
      properties: {
        forbids: { type: "array", items: { type: "string", enum: ["mow", "burn"] } },
        places: { type: "array", items: { type: "string" } },
      },
    },
  },
};

test("each field by what it holds", () => {
  const inputs = fieldsOf(all, "planting").map((f) => [f.name, f.input]);
  expect(inputs).toEqual([
    ["place", "place"], ["blend", "blend"], ["sow_on", "date"], ["method", "choice"],
    ["covered", "yes-no"], ["until", "date"],
  ]);
});

test("what holds where nothing is said", () => {
  expect(fieldsOf(all, "planting").map((f) => f.preset)).toEqual(["", "", "", "", "yes", ""]);
});

test("a kind of place has its own fields; its kind and outline are no fields of a form", () => {
  expect(fieldsOf(all, "place", "plot").map((f) => [f.name, f.choices])).toEqual([
    ["name", []], ["texture", ["loam"]],
  ]);
});

test("several choices", () => {
  expect(fieldsOf(all, "permission").map((f) => [f.input, f.choices])).toEqual([
    ["choices", ["mow", "burn"]], ["places", []],
  ]);
});

test("what is left empty is left out", () => {
  expect(withField({ a: 1, b: 2 }, "a", "")).toEqual({ b: 2 });
  expect(withField({ a: 1 }, "a", Number.NaN)).toEqual({});
  expect(withField({}, "a", false)).toEqual({ a: false });
});

test("a species is chosen by its common name, in a lot and in a blend", () => {
  const [lot] = fieldsOf(all, "seed-lot");
  expect([lot!.input, lot!.choices, lot!.names["rye"]]).toEqual(["choice", ["rye", "oats"], "cereal rye"]);
  const parts = fieldsOf(all, "blend").find((f) => f.name === "components");
  expect([parts!.input, parts!.choices]).toEqual(["components", ["rye", "oats"]]);
});
