import { expect, test } from "vitest";
import { inTurn, rulesOf } from "./handing";

test("ground is read before what names its places or is cut to it", () => {
  const names = ["dem.TIF", "tests.csv", "days.dly", "plots.kml"];
  const files = names.map((name) => ({ name }));
  expect(inTurn(files).map((f) => f.name)).toEqual(["plots.kml", "tests.csv", "dem.TIF", "days.dly"]);
});

test("what is not said is not asked of the server", () => {
  expect(rulesOf({ rest: "", vertical: "", holds: "" })).toEqual({});
  expect(rulesOf({ rest: "plot", vertical: "ft", holds: "canopy" })).toEqual({
    map: "*=plot",
    vertical_unit: "ft",
    holds: "canopy",
  });
});
