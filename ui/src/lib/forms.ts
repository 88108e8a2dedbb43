/** The forms of what can be entered, as the server says them; kept for when it is gone. */
import { get } from "./api";
import type { Forms, SaidField } from "./form";
import { LANGUAGES, tongue, type Language } from "./language.svelte";
import { shelf } from "./store";
import { reading, UNITS, type Units } from "./units.svelte";
import { say } from "./words";

/** A field, as a form shows it. */
export interface Field extends Omit<SaidField, "preset" | "items"> {
  input:
    | "text" | "long" | "number" | "date" | "moment" | "choice" | "yes-no" | "choices" | "rows"
    | "numbers" | "place" | "places" | "thing" | "things" | "components";
  preset: string;
  /** The kind of thing that is chosen, where the field holds the id of one. */
  thing: string;
  /** The fields of a row, where the field is a list. */
  items: Field[];
}

const known: Record<string, Promise<Forms>> = {};

/** The forms in the units and the language that are read, from the server, else as last seen. */
export function forms(): Promise<Forms> {
  const name = shelfName(reading.units, tongue.language);
  known[name] ??= get("/api/forms")
    .then((found) => keep(found, name), (error: unknown) => lastSeen(error, name))
    .catch((error: unknown) => {
      delete known[name];
      throw error;
    });
  return known[name];
}

/** What the forms are kept under: 'forms', 'forms-metric', 'forms-es', 'forms-metric-es'. */
const shelfName = (units: Units, language: Language): string =>
  ["forms", units === "us" ? "" : units, language === "en" ? "" : language].filter(Boolean).join("-");
const SHELVES = LANGUAGES.flatMap((language) => UNITS.map((units) => shelfName(units, language)));

async function keep(found: Forms, name: string): Promise<Forms> {
  const put = async (): Promise<void> => {
    await (await shelf()).put("own", JSON.stringify(found), name);
  };
  await put().catch(() => undefined);
  return found;
}

/** As last seen; in other units or words where never in these: each field names its own unit. */
async function lastSeen(error: unknown, wanted: string): Promise<Forms> {
  const held = await shelf();
  for (const name of [wanted, ...SHELVES]) {
    const text = await held.get("own", name);
    if (text !== undefined) return JSON.parse(text) as Forms;
  }
  throw error;
}

/** The fields of a kind of entry or of place that a form can hold, in their order. */
export function fieldsOf(all: Forms, kind: string): Field[] {
  return (all.kinds[kind] ?? []).flatMap((said) => fieldOf(all, said));
}

function fieldOf(all: Forms, said: SaidField, of = said.name): Field[] {
  const input = inputOf(said, of);
  if (input === null) return [];
  const plant = PLANTS.includes(of) && said.type !== "array";
  const names = plant || input === "components" ? all.species : said.names;
  const choices = names === all.species ? Object.keys(names) : said.choices;
  const items = (said.items ?? []).flatMap((item) => fieldOf(all, item, item.name || of));
  return [{ ...said, input, names, choices, items, thing: THINGS[of] ?? "", preset: presetOf(said.preset) }];
}

function presetOf(preset: unknown): string {
  if (typeof preset === "number") return String(Number(preset.toPrecision(4)));
  if (typeof preset === "boolean") return say(preset ? "form-yes" : "form-no");
  return typeof preset === "string" ? preset : "";
}

const BY_NAME: Record<string, Field["input"]> = {
  place: "place",
  places: "places",
  route: "place",
  routes: "places",
  components: "components",
  note: "long",
};
/** Fields that hold the id of another thing, and its kind. */
const THINGS: Record<string, string> = {
  blend: "blend",
  equipment: "equipment",
  material: "material",
  label: "label",
  lot: "seed-lot",
  over: "planting",
  planting: "planting",
  by: "person",
  person: "person",
  people: "person",
};
const PLANTS = ["species", "crops"];

/** How a field is entered, by what it is called in its list or thing; null where no form can hold it. */
function inputOf({ type, choices, items }: SaidField, of: string): Field["input"] | null {
  if (type === "fixed" || type === "object") return null;
  if (of in BY_NAME) return BY_NAME[of]!;
  if (type === "array" && of in THINGS) return "things";
  if (type === "array") return choices.length > 0 ? "choices" : listOf(items ?? []);
  if (of in THINGS) return "thing";
  if (choices.length > 0 || PLANTS.includes(of)) return "choice";
  if (type === "boolean") return "yes-no";
  if (type === "number" || type === "integer") return "number";
  if (type === "date-time") return "moment";
  return type === "date" ? "date" : "text";
}

/** How a list is entered: numbers one after the other, all else row by row. */
function listOf(items: readonly SaidField[]): "numbers" | "rows" | null {
  const [first] = items;
  if (first === undefined) return null;
  return first.name === "" && ["number", "integer"].includes(first.type) ? "numbers" : "rows";
}

/** Numbers as they are typed one after the other, with blanks or commas between. */
export const numbersOf = (text: string): number[] => text.split(/[\s,;]+/).filter(Boolean).map(Number);

/** A moment as this device's clock shows it, as it stands in its field; empty where there is none. */
export function localOf(moment: unknown): string {
  const at = new Date(String(moment ?? ""));
  if (Number.isNaN(at.getTime())) return "";
  const shifted = new Date(at.getTime() - at.getTimezoneOffset() * 60_000);
  return shifted.toISOString().slice(0, 16);
}

/** The moment that a field of this device's clock holds, in universal time. */
export const momentIn = (local: string): string => (local === "" ? "" : new Date(local).toISOString());

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
