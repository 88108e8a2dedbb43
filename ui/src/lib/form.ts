/** The form of what the server says and takes: made from the schema of the API, named for use. */
import type { components } from "../../generated/api";

type Schemas = components["schemas"];

/** The form of the state that these pages read; what was kept in another is not shown. */
export const FORM = 5;

export type Kept = Schemas["Kept"];
export type Place = Schemas["Place"];
export type Shape = Schemas["Outline"];
export type Said = Schemas["Said"];
/** How counts are taken, and the walks across a place. */
export type Counting = Schemas["Counting"];
export type Way = Schemas["Way"];
export type Spot = Schemas["Walk"]["spots"][string][number];
/** Words of a sentence; where they tell a figure, the way to its working. */
export type Piece = Schemas["Piece"];
export type Table = Schemas["Table"];
/** A cell of a table: words, and where they stand for a figure, the figure's path. */
export type Cell = Table["rows"][number][number];
export type Sheet = Schemas["Sheet"];
export type Drawing = Sheet["drawings"][number];
export type Curves = Schemas["Curves"];
export type Frame = Schemas["Frame"];
export type Layer = Schemas["Layer"];
export type Along = Schemas["Along"];
export type Strip = Schemas["Strip"];
export type Sketch = Schemas["Sketch"];
export type SketchLayer = Schemas["SketchLayer"];
export type SketchView = Schemas["SketchView"];
export type SketchKey = Schemas["SketchKey"];
export type Bar = Schemas["Bar"];
export type SowingWindow = Schemas["SowingWindow"];
export type RibbonWeek = Schemas["RibbonWeek"];
export type RibbonData = Schemas["RibbonData"];
export type Task = Schemas["Task"];
export type Year = Schemas["Year"];
export type Planned = Schemas["Planned"];
export type ForageYear = Schemas["ForageYear"];
export type State = Schemas["State"];
/** What is another than in the state that is held. */
export type Changes = Schemas["Changes"];
export type Beginning = Schemas["Beginning"];
export type Step = Schemas["Step"];
export type Why = Schemas["Why"];
export type Entry = Schemas["Entries"]["entries"][number];
export type Receipt = Schemas["Receipt"];
export type Job = Schemas["Job"];
/** All tracts of a server. */
export type Tracts = Schemas["Shelf"];
export type TractLine = Tracts["lines"][number];
export type TractCell = TractLine["cells"][number];
export type Sentence = TractCell["said"][number];
export type House = Schemas["House"];
export type NewTract = Schemas["NewTract"];
/** A field of a form, and the forms of all kinds. */
export type SaidField = Schemas["Field"];
export type Level = Schemas["Level"];
/** A device may still keep forms from before who sees a thing was chosen in them. */
export type Forms = Omit<Schemas["Forms"], "levels" | "shared" | "places"> &
  Partial<Pick<Schemas["Forms"], "levels" | "shared">> & { places: Record<string, PlaceKind> };
/** Who uses a page, and what they may do. */
export type Me = Schemas["Me"];
export type People = Schemas["People"];
export type PersonOfTract = Schemas["PersonOfTract"];
export type AuditLine = Schemas["AuditLine"];
/** Words that stand side by side on one thing. */
export type Conflict = Schemas["Conflict"];
export type Relief = Schemas["Relief"];
export type PlaceKind = Omit<Schemas["PlaceKind"], "visibility"> & { visibility?: string };
export type Part = Schemas["Part"];
export type HistoryRow = Schemas["HistoryRow"];
export type Permit = Schemas["Permit"];
export type PlaceRecord = Schemas["PlaceRecord"];
