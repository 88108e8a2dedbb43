import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { areaText, asKept, asRead, feetText, keptOf, lengthText, rainText, roundLength, typedOf, unitOf } from "./measure";
import { told } from "./note";
import { inUnits, reading, startUnits } from "./units.svelte";

afterEach(() => {
  reading.set("us");
  localStorage.clear();
});

test("in the trade's units nothing is converted", () => {
  expect([lengthText(432.4), areaText(1.6543), rainText(1.4), feetText(10)]).toEqual(["432 yd", "1.65 ac", "1.4 in", "10 ft"]);
  expect([asRead(12.5, "ac"), asKept(12.5, "ac"), unitOf("lb/ac")]).toEqual([12.5, 12.5, "lb/ac"]);
  expect(inUnits("state")).toBe("state");
});

describe("in metric", () => {
  beforeEach(() => reading.set("metric"));

  test("what the map measures", () => {
    expect([lengthText(100), areaText(1), feetText(10)]).toEqual(["91 m", "0.40 ha", "10 ft (3 m)"]);
    // a bar is round as it is read: 300 m is 328 yd
    expect(lengthText(roundLength(333))).toBe("300 m");
    expect(roundLength(333)).toBeLessThanOrEqual(333);
  });

  test("rain in a note, however it was noted", () => {
    expect(told({ about: "rain", amount: 1.4, unit: "in" })).toBe("35.6 mm of rain");
    expect(told({ about: "rain", amount: 12, unit: "mm" })).toBe("12 mm of rain");
  });

  test("what is typed is kept in the trade's units and comes back as it was typed", () => {
    for (const typed of [12.5, 0.1, 33.333, 1000, 7, 0.004]) {
      for (const kept of ["yd", "ac", "in", "lb/ac"] as const) expect(asRead(asKept(typed, kept), kept)).toBe(typed);
    }
    expect(asKept(25.4, "in")).toBe(1);
    expect(asRead(50, "lb/ac")).toBeCloseTo(56.0425, 3);
  });

  test("a form's number, by factor and offset", () => {
    const fahrenheit = { unit: "°F", factor: 1.8, offset: 32 };
    expect(keptOf(100, fahrenheit)).toBe(212);
    expect(typedOf(212, fahrenheit)).toBe(100);
    const pounds = { unit: "lb", factor: 1 / 0.45359237, offset: 0 };
    expect(keptOf(22.6796185, pounds)).toBe(50);
    expect(typedOf(keptOf(12.5, pounds), pounds)).toBe(12.5);
    expect(keptOf(Number.NaN, pounds)).toBeNaN();
    expect([keptOf(3, null), typedOf(3, undefined)]).toEqual([3, 3]);
  });

  test("what is asked of the server says so", () => {
    expect(inUnits("state")).toBe("state?units=metric");
    expect(inUnits("why?path=a")).toBe("why?path=a&units=metric");
  });

  test("the choice stays on the device", () => {
    reading.units = "us";
    startUnits();
    expect(reading.units).toBe("metric");
    localStorage.setItem("units", "ells");
    startUnits();
    expect(reading.units).toBe("us");
  });
});
