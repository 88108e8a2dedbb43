/** The forms of what can be entered, as the server says them; kept for when it is gone. */
import { get } from "./api";
import type { Forms, SaidField } from "./form";
import { shelf } from "./store";
import { reading, UNITS, type Units } from "./units.svelte";
import { say } from "./words";

/** A field, as a form shows it. */
export interface Field extends Omit<SaidField, "preset"> {
  input:
    | "text" | "long" | "number" | "date" | "choice" | "yes-no" | "choices"
    | "place" | "places" | "blend" | "components";
  preset: string;
}

const known: Partial<Record<Units, Promise<Forms>>> = {};

/** The forms in the units that are read, from the server, else as last seen. */
export function forms(): Promise<Forms> {
  const units = reading.units;
  known[units] ??= get("/api/forms")
    .then((found) => keep(found, units), (error: unknown) => lastSeen(error, units))
    .catch((error: unknown) => {
      delete known[units];
      throw error;
    });
  return known[units];
}

const shelfName = (units: Units): string => (units === "us" ? "forms" : `forms-${units}`);

async function keep(found: Forms, units: Units): Promise<Forms> {
  const put = async (): Promise<void> => {
    await (await shelf()).put("own", JSON.stringify(found), shelfName(units));
  };
  await put().catch(() => undefined);
  return found;
}

/** As last seen; in the other units where never in these: each field names its own. */
async function lastSeen(error: unknown, units: Units): Promise<Forms> {
  const held = await shelf();
  for (const name of [shelfName(units), ...UNITS.map(shelfName)]) {
    const text = await held.get("own", name);
    if (text !== undefined) return JSON.parse(text) as Forms;
  }
  throw error;
}

/** The fields of a kind of entry or of place that a form can hold, in their order. */
export function fieldsOf(all: Forms, kind: string): Field[] {
  return (all.kinds[kind] ?? []).flatMap((said) => {
    const input = inputOf(said);
    if (input === null) return [];
    const plant = said.name === "species" || input === "components";
    const names = plant ? all.species : said.names;
    return [{ ...said, input, names, choices: plant ? Object.keys(names) : said.choices, preset: presetOf(said.preset) }];
  });
}

function presetOf(preset: unknown): string {
  if (typeof preset === "number") return String(Number(preset.toPrecision(4)));
  if (typeof preset === "boolean") return say(preset ? "form-yes" : "form-no");
  return typeof preset === "string" ? preset : "";
}

const BY_NAME = {
  place: "place",
  places: "places",
  blend: "blend",
  components: "components",
  species: "choice",
  note: "long",
  // chosen as a blend is, from the things of REFERS
  lot: "blend",
  over: "blend",
} as const;

/** Fields that name a thing of another name, and its kind. */
export const REFERS: Record<string, string> = { lot: "seed-lot", over: "planting" };

/** How a field is entered; null for what a form cannot hold: an outline, a kind, a list of things. */
function inputOf({ name, type, choices }: SaidField): Field["input"] | null {
  if (type === "fixed" || type === "object") return null;
  if (name in BY_NAME) return BY_NAME[name as keyof typeof BY_NAME];
  if (type === "array") return choices.length > 0 ? "choices" : null;
  if (choices.length > 0) return "choice";
  if (type === "boolean") return "yes-no";
  if (type === "number" || type === "integer") return "number";
  return type === "date" ? "date" : "text";
}

/** A body with one field changed; what is left empty is left out. */
export function withField(
  body: Record<string, unknown>,
  name: string,
  value: unknown,
): Record<string, unknown> {
  const { [name]: _, ...rest } = body;
  const empty = value === "" || value === null || value === undefined || Number.isNaN(value);
  return empty ? rest : { ...rest, [name]: value };
}
