import { expect, test } from "vitest";
import { addDays, daysBetween, shortDay, todayHere } from "./days";

test("days over a leap day, a year's end and the change of clocks", () => {
  expect(addDays("2028-02-28", 1)).toBe("2028-02-29");
  expect(addDays("2027-12-31", 1)).toBe("2028-01-01");
  expect(addDays("2027-03-14", 1)).toBe("2027-03-15");
  expect(daysBetween("2027-03-01", "2027-11-30")).toBe(274);
});

test("a day in words", () => {
  expect(shortDay("2027-09-04")).toBe("Sep 4");
  expect(shortDay("2027-09-04", true)).toBe("Sep 4, 2027");
});

test("today is the device's own day", () => {
  expect(todayHere(new Date(2027, 0, 5, 23, 59))).toBe("2027-01-05");
});
