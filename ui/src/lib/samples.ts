/** Invented states and answers for the tests. */
import { FORM } from "./form";
import type { Planned, Said, State, Task } from "./form";

export const task = (id: string, when: string, what = `do ${id}`): Task => ({
  id, when, when_text: when, what, why: "because", place: "", path: `year.tasks.${id}.when`,
});

export function planned(parts: Partial<Planned> = {}): Planned {
  return {
    sheets: [],
    ribbon: { width: 150, days: 364, months: [], today: null, rows: [], frost: [], tasks: [], weeks: [], rain_unit: "in", why: "" },
    weeks: { title: "", columns: [], rows: [] },
    year: { late: [], next: [], later: [], done: [] },
    said: [],
    axis: { starts: "2027-01-02", ends: "2028-01-01" },
    forage: null,
    ...parts,
  };
}

export function state(parts: Partial<State> = {}): State {
  return {
    ...planned(),
    form: FORM,
    units: "us",
    language: "en",
    tract: { id: "t1", name: "Otter Bend", story: "", state: "MN", zone: "America/Chicago" },
    as_of: "2027-01-12",
    today: "2027-01-12",
    log: { count: 0, digest: "" },
    author: "me",
    places: [],
    things: {},
    begin: [],
    missing: [],
    conflicts: [],
    plan: { count: 0, fresh: true },
    ...parts,
  };
}

export const json = (body: unknown, status = 200): Response =>
  new Response(JSON.stringify(body), { status, headers: { "content-type": "application/json" } });

export const said = (weight: string, text: string, about = ""): Said => ({
  weight, text, about, word: weight, loud: weight !== "note", section: "", id: "", parts: [],
});
