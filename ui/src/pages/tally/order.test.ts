import { expect, test } from "vitest";
import type { Sheet } from "../../lib/form";
import { tallySheets } from "./order";

const sheet = (id: string) => ({ id }) as Sheet;

test("sheets stand by question, whatever the order they came in, and others are left out", () => {
  const came = ["year", "tally", "next", "herd.rut", "counts", "money", "herd", "cards", "worked", "countsheet"];
  expect(tallySheets(came.map(sheet)).map((s) => s.id)).toEqual([
    "worked", "herd.rut", "herd", "cards", "counts", "money", "next", "tally",
  ]);
});
