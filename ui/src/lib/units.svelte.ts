/** The units that figures are read and typed in; the choice stays on this device. */
import { inLanguage } from "./language.svelte";

export const UNITS = ["us", "metric"] as const;
export type Units = (typeof UNITS)[number];

class Reading {
  units = $state<Units>("us");

  get metric(): boolean {
    return this.units === "metric";
  }

  set(units: Units): void {
    this.units = units;
    try {
      localStorage.setItem("units", units);
    } catch {
      // storage may be shut; the choice then lasts as long as the page
    }
  }
}

export const reading = new Reading();

export function startUnits(): void {
  let kept: string | null = null;
  try {
    kept = localStorage.getItem("units");
  } catch {
    kept = null;
  }
  reading.units = UNITS.find((u) => u === kept) ?? "us";
}

/** A path of the API, asking for its texts in the units and the language that are read here. */
export function inUnits(path: string): string {
  const asked = inLanguage(path);
  if (!reading.metric) return asked;
  return `${asked}${asked.includes("?") ? "&" : "?"}units=${reading.units}`;
}
