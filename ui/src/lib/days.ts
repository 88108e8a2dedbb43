/** Days as `YYYY-MM-DD`, counted without a clock or a zone. */
import { tongue } from "./language.svelte";

const DAY_MS = 86_400_000;
const MONTHS = {
  en: "Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec".split(" "),
  es: "ene feb mar abr may jun jul ago sep oct nov dic".split(" "),
};

const ms = (day: string): number => Date.parse(`${day}T00:00:00Z`);

export const addDays = (day: string, count: number): string =>
  new Date(ms(day) + count * DAY_MS).toISOString().slice(0, 10);

export const daysBetween = (from: string, to: string): number =>
  Math.round((ms(to) - ms(from)) / DAY_MS);

/** A day in short: 'Sep 4', or '4 sep'; with its year where asked: 'Sep 4, 2027', '4 sep 2027'. */
export function shortDay(day: string, withYear = false): string {
  const [year, month, date] = day.split("-").map(Number);
  const name = MONTHS[tongue.language][(month ?? 1) - 1];
  if (tongue.language === "es") return `${date} ${name}${withYear ? ` ${year}` : ""}`;
  return `${name} ${date}${withYear ? `, ${year}` : ""}`;
}

/** Today on this device. */
export function todayHere(now = new Date()): string {
  const two = (n: number): string => String(n).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
