/** The form of what the server says. Texts come ready; the pages show them and draw shapes. */
import type { Units } from "./units.svelte";

export interface Kept {
  id: string;
  entry: string;
  on: string | null;
  body: Record<string, unknown>;
}

export interface Place {
  id: string;
  kind: string;
  name: string;
  shape: Shape | null;
  entry: string;
  visibility: string;
  body: Record<string, unknown>;
}

export interface Shape {
  type: string;
  coordinates: unknown;
}

export interface Said {
  weight: string;
  text: string;
  about: string;
  loud: boolean;
  word: string;
  section: string;
  id: string;
}

/** A cell of a table: words, and where they stand for a figure, the figure's path. */
export type Cell = string | { text: string; path?: string | null };

export interface Table {
  title: string;
  columns: { name: string; number: boolean; wide: boolean }[];
  rows: Cell[][];
}

export interface Sheet {
  id: string;
  title: string;
  under: string;
  tables: Table[];
  said: Said[];
}

export interface Bar {
  x: number;
  width: number;
  label: string;
  kind: string;
  id?: string;
}

export interface RibbonData {
  width: number;
  months: { name: string; x: number }[];
  today: number | null;
  rows: { name: string; bars: Bar[] }[];
  frost: { x: number; label: string }[];
  tasks: { x: number; count: number }[];
}

export interface Task {
  id: string;
  when: string;
  when_text: string;
  what: string;
  why: string;
  place: string;
  path: string;
}

export type Year = Record<"late" | "next" | "later" | "done", Task[]>;

/** What a plan says, without the record; a trial of a change answers with this. */
export interface Planned {
  sheets: Sheet[];
  ribbon: RibbonData;
  year: Year;
  said: Said[];
  /** The first and the last day of the year that is planned. */
  axis: { starts: string; ends: string };
  forage: ForageYear | null;
}

/** Week by week, likely; null where it is not known. */
export interface ForageYear {
  start: string;
  unit: string;
  asked: (number | null)[];
  found: (number | null)[];
  /** The weeks that are short, and how many there may be at the least and the most. */
  short: number[];
  short_low: number;
  short_high: number;
  short_path: string;
}

export interface State extends Planned {
  form: number;
  /** The units that the texts are in. */
  units: Units;
  tract: { name: string; story: string; state: string; zone: string; id?: string };
  as_of: string;
  today: string;
  log: { count: number; digest: string };
  author: string;
  places: Place[];
  things: Record<string, Kept[]>;
  /** What is missing or doubtful, and what it would add. */
  missing: { check: string; about: string; text: string }[];
  conflicts: { subject: string; entries: string[]; text: string }[];
}

export interface Step {
  depth: number;
  path: string;
  name: string;
  value: string;
  working: string;
  origin: string;
  source: string;
  unchecked: boolean;
  assumed: boolean;
  /** Where the person said it; empty for what nobody said. */
  entry: string;
  field: string;
}

export interface Why {
  path: string;
  title: string;
  steps: Step[];
  unchecked: string | null;
}

export interface Entry {
  id: string;
  kind: string;
  schema: number;
  subject: string;
  parents: string[];
  author: string;
  device: string;
  said_at: string;
  happened_on: string | null;
  batch: string;
  visibility: string;
  body: Record<string, unknown>;
}

export interface Receipt {
  stored: string[];
  known: string[];
  clashed: string[];
  refused: { id: string; text: string }[];
}
