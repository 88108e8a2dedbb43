/** The forms of what can be entered, read from the server's schemas; kept for when it is gone. */
import { ask } from "./api";
import { shelf } from "./store";
import { say } from "./words";

export interface Field {
  name: string;
  label: string;
  unit: string;
  required: boolean;
  input:
    | "text" | "long" | "number" | "date" | "choice" | "yes-no" | "choices"
    | "place" | "places" | "blend" | "components";
  choices: string[];
  /** What a choice is called, where that is not the word that is stored. */
  names: Record<string, string>;
  /** What holds where nothing is said. */
  preset: string;
  least: number | undefined;
  most: number | undefined;
}

interface Schema {
  $ref?: string;
  $defs?: Record<string, Schema>;
  anyOf?: Schema[];
  type?: string;
  enum?: string[];
  const?: string;
  default?: unknown;
  format?: string;
  items?: Schema;
  properties?: Record<string, Schema>;
  minimum?: number;
  exclusiveMinimum?: number;
  maximum?: number;
  maxLength?: number;
  pattern?: string;
}

type Named = { name: string; label: string; unit: string; required: boolean };
export interface Forms {
  kinds: Record<string, Named[]>;
  schemas: Record<string, Schema>;
  /** The plants that the tables know, and their common names. */
  species: Record<string, string>;
}

let known: Promise<Forms> | undefined;

/** The forms, from the server, else as last seen. */
export function forms(): Promise<Forms> {
  known ??= ask<Forms>("forms").then(keep, lastSeen).catch((error: unknown) => {
    known = undefined;
    throw error;
  });
  return known;
}

async function keep(found: Forms): Promise<Forms> {
  const put = async (): Promise<void> => {
    await (await shelf()).put("own", JSON.stringify(found), "forms");
  };
  await put().catch(() => undefined);
  return found;
}

async function lastSeen(error: unknown): Promise<Forms> {
  const text = await (await shelf()).get("own", "forms");
  if (text === undefined) throw error;
  return JSON.parse(text) as Forms;
}

/** The fields of a kind of entry, or of a kind of place, that a plain form can hold. */
export function fieldsOf(all: Forms, kind: string, placeKind?: string): Field[] {
  const root = all.schemas[kind] ?? {};
  const schema = placeKind === undefined ? root : placeSchema(root, placeKind);
  return (all.kinds[placeKind ?? kind] ?? []).flatMap((named) => {
    const property = schema.properties?.[named.name];
    const found = property && asInput(named.name, settle(root, property));
    if (!found) return [];
    const plant = named.name === "species" || found.input === "components";
    const names = plant ? (all.species ?? {}) : {};
    const input = plant && found.input === "text" ? "choice" : found.input;
    const choices = plant ? Object.keys(names) : found.choices;
    return [{ ...named, ...found, input, choices, names, preset: presetOf(property) }];
  });
}

function presetOf(property: Schema): string {
  const preset = property.default;
  if (typeof preset === "boolean") return say(preset ? "form-yes" : "form-no");
  return ["string", "number"].includes(typeof preset) ? String(preset) : "";
}

function placeSchema(root: Schema, kind: string): Schema {
  const all = Object.values(root.$defs ?? {});
  return all.find((s) => s.properties?.["kind"]?.const === kind) ?? {};
}

/** What a property is, where it may also be absent, or stands elsewhere. */
function settle(root: Schema, property: Schema): Schema {
  if (property.$ref !== undefined) {
    return settle(root, root.$defs?.[property.$ref.split("/").at(-1) ?? ""] ?? {});
  }
  const other = property.anyOf?.find((s) => s.type !== "null");
  return other === undefined ? property : settle(root, other);
}

function asInput(name: string, s: Schema): Pick<Field, "input" | "choices" | "least" | "most"> | null {
  const base = { choices: s.enum ?? [], least: s.minimum ?? s.exclusiveMinimum, most: s.maximum };
  if (s.const !== undefined || s.type === "object") return null;
  if (name === "place") return { ...base, input: "place" };
  if (name === "places") return { ...base, input: "places" };
  if (name === "blend") return { ...base, input: "blend" };
  if (name === "components") return { ...base, input: "components" };
  if (s.enum !== undefined) return { ...base, input: "choice" };
  if (s.type === "boolean") return { ...base, input: "yes-no" };
  if (s.type === "number" || s.type === "integer") return { ...base, input: "number" };
  if (s.type === "array") {
    return s.items?.enum === undefined ? null : { ...base, input: "choices", choices: s.items.enum };
  }
  if (s.format === "date") return { ...base, input: "date" };
  return { ...base, input: (s.maxLength ?? 0) > 200 && name === "note" ? "long" : "text" };
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
