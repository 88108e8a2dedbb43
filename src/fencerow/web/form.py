"""The form of what the API says and takes: one class for each thing, from which the OpenAPI schema
and the pages' own types are made.
"""

from __future__ import annotations

from typing import Any, Literal, NotRequired

from typing_extensions import TypedDict

Body = dict[str, Any]


class Trouble(TypedDict):
    """Why something was not done, in a sentence."""

    text: str


class Outline(TypedDict):
    """A GeoJSON geometry; longitude before latitude."""

    type: str
    coordinates: Any


class Kept(TypedDict):
    """A thing of the record: its subject, the entry that it stands by, what it says."""

    id: str
    entry: str
    on: str | None
    body: Body
    visibility: NotRequired[str]
    """Who sees it, where not all do."""
    shut: NotRequired[list[str]]
    """What whoever asks may not do with it, though they write its kind: change, remove."""


class Place(TypedDict):
    """A place of the tract."""

    id: str
    kind: str
    name: str
    shape: Outline | None
    entry: str
    visibility: str
    body: Body
    shut: NotRequired[list[str]]
    """What whoever asks may not do with it, though they draw places: change, remove."""


class Piece(TypedDict):
    """Words of a sentence; where they tell a figure, the path to its working."""

    text: str
    path: NotRequired[str]


class Said(TypedDict):
    """A sentence of a planner: its weight, and the word for it; in pieces where a figure opens."""

    section: str
    parts: list[Piece]
    id: str
    weight: str
    word: str
    text: str
    loud: bool
    about: str


class Told(TypedDict):
    """Words that tell a figure, and the path to its working."""

    text: str
    path: str


class Column(TypedDict):
    """A column of a ruled table; where its cells tell a series, the way to the working of each is
    `series`, in which `*` stands for the table's key of the row, or for its number from 0."""

    name: str
    number: bool
    wide: bool
    series: NotRequired[str]


class Table(TypedDict):
    """A ruled table."""

    title: str
    columns: list[Column]
    rows: list[list[str | Told]]
    keys: NotRequired[list[str]]
    leads: NotRequired[bool]
    about: NotRequired[list[str]]


class Along(TypedDict):
    """A word at a place along an axis, or at an amount; places count from 0, and may lie between
    two."""

    at: float
    word: str


class DrawnAxis(TypedDict):
    """Places from left to right: what each is called, and the words below them."""

    heads: list[str]
    ticks: list[Along]


class Layer(TypedDict):
    """Amounts at each place, null where they are not known; a line has no low ones."""

    name: str
    line: bool
    look: str
    ink: str
    low: list[float | None]
    high: list[float | None]


class Frame(TypedDict):
    """One picture of a drawing: what it shows in words, and the row of each place."""

    title: str
    told: str
    about: str
    layers: list[Layer]
    marks: list[Along]
    table: Table


class Curves(TypedDict):
    """Bands and lines on one axis, from 0 up to `top`."""

    kind: Literal["curves"]
    title: str
    unit: str
    axis: DrawnAxis
    top: float
    ticks: list[Along]
    frames: list[Frame]


class CellState(TypedDict):
    """What a cell of a strip may be, and how that is told."""

    word: str
    look: str
    ink: str


class Lane(TypedDict):
    """A row of a strip: at each place the number of its state."""

    name: str
    cells: list[int]


class Strip(TypedDict):
    """Rows of cells in one of a few states."""

    kind: Literal["strip"]
    title: str
    told: str
    axis: DrawnAxis
    states: list[CellState]
    lanes: list[Lane]
    marks: list[Along]
    table: Table


class Sheet(TypedDict):
    """A sheet of the plan: a title, what lies under it, tables, sentences."""

    id: str
    title: str
    under: str
    under_parts: list[Piece]
    tables: list[Table]
    said: list[Said]
    drawings: list[Curves | Strip]


class SketchOutline(TypedDict):
    """Lines or areas that are drawn alike; `runs`, with a semicolon between them, are each its
    first x and y and then how far right and down every point lies from the one before it."""

    look: str
    area: bool
    runs: str


class SketchSpot(TypedDict):
    """A sign, and what it is called."""

    kind: str
    x: int
    y: int
    name: str


class SketchWord(TypedDict):
    """Words at a place; free ones are set down where they cover no others."""

    text: str
    x: int
    y: int
    free: bool


class SketchLayer(TypedDict):
    """What is drawn on a sketch."""

    outlines: list[SketchOutline]
    spots: list[SketchSpot]
    words: list[SketchWord]


class SketchView(SketchLayer):
    """One picture of a sketch: what is drawn over what all share, and what it shows in words."""

    title: str
    told: str
    about: str


class SketchKey(TypedDict):
    """What a look or a sign of a sketch stands for."""

    look: str
    name: str
    form: Literal["area", "line", "sign"]


class SketchBar(TypedDict):
    """A scale bar: its length in units of the sketch, and its words."""

    long: int
    word: str


class Sketch(TypedDict):
    """Pictures of one piece of ground at one scale, or a range card."""

    kind: Literal["sketch"]
    title: str
    wide: int
    high: int
    north: float
    bar: SketchBar | None
    base: SketchLayer
    views: list[SketchView]
    key: list[SketchKey]
    table: Table


class Bar(TypedDict):
    """A bar of the ribbon; `id` names what it stands for."""

    id: str
    x: float
    width: float
    label: str
    kind: str


class SowingWindow(TypedDict):
    """From when until when a planting may be sown."""

    id: str
    x: float
    width: float
    label: str


class Row(TypedDict):
    """A row of the ribbon."""

    name: str
    bars: list[Bar]
    windows: NotRequired[list[SowingWindow]]


class RibbonWeek(TypedDict):
    """A week on the ribbon: rain with little, usual, much; what fell; what the gauge
    held; days of seven that are fit, on the plot with the fewest and on the one with the most."""

    x: float
    width: float
    rain: tuple[float, float, float] | None
    fell: float | None
    gauge: float | None
    fit: tuple[float, float] | None


class Month(TypedDict):
    """A month's beginning on the ribbon."""

    name: str
    x: float


class Mark(TypedDict):
    """A mark on the ribbon with its word, which may be empty."""

    x: float
    label: str


class Due(TypedDict):
    """A day on which something is due, and how many things."""

    x: float
    count: int


class RibbonData(TypedDict):
    """The year on one axis, in units of its width."""

    width: float
    days: int
    months: list[Month]
    today: float | None
    rows: list[Row]
    weeks: list[RibbonWeek]
    rain_unit: str
    why: str
    """What keeps rain and fit days off the ribbon; empty where nothing does."""
    frost: list[Mark]
    tasks: list[Due]


class Task(TypedDict):
    """Something to do: by when, what, why, and the way to the working of its day."""

    id: str
    when: str
    when_text: str
    what: str
    why: str
    place: str
    path: str


class Year(TypedDict):
    """The year's tasks by how they stand."""

    late: list[Task]
    next: list[Task]
    later: list[Task]
    done: list[Task]


class Axis(TypedDict):
    """The first and the last day of the year that is planned."""

    starts: str
    ends: str


class ForageYear(TypedDict):
    """Week by week, likely; null where it is not known."""

    start: str
    unit: str
    asked: list[float | None]
    found: list[float | None]
    short: list[int]
    short_low: float
    short_high: float
    short_path: str


class Planned(TypedDict):
    """What a plan says, without the record; a trial of a change answers with this."""

    sheets: list[Sheet]
    axis: Axis
    ribbon: RibbonData
    weeks: Table
    forage: ForageYear | None
    year: Year
    said: list[Said]


class NextDraft(TypedDict):
    """One entry of next year as it is drafted: its kind, what it is about, what it says."""

    kind: str
    subject: str
    body: Body


class NextYear(TypedDict):
    """Next year as it is drafted; the entries are written by whoever accepts them."""

    starts: str
    drafts: list[NextDraft]


class TractName(TypedDict):
    """The tract itself."""

    id: str
    name: str
    story: str
    state: str
    zone: str


class Log(TypedDict):
    """The state of the log: how many entries, and a digest that is another for each state."""

    count: int
    digest: str


class Finding(TypedDict):
    """What is missing or doubtful, and what it would add."""

    check: str
    about: str
    text: str


class Head(TypedDict):
    """One of the words that stand side by side: what would be written again to take it, and who
    said it, when, on which device. `may` says whether whoever asks may write it."""

    kind: str
    subject: str
    body: Body
    happened_on: str | None
    visibility: str
    author: str
    device: str
    said_at: str
    removes: bool
    may: bool


class TwiceRow(TypedDict):
    """A field in words, as each of the heads has it."""

    label: str
    values: list[str]
    differs: bool


class Conflict(TypedDict):
    """A thing of which two words stand side by side, or one that can't be read. A word that names
    all of `parents` settles it; without any, it can't be settled here."""

    subject: str
    entries: list[str]
    text: str
    title: str
    clash: bool
    parents: list[str]
    heads: list[Head]
    rows: list[TwiceRow]


class Beginning(TypedDict):
    """A step of a tract's beginning: what there is, what the plan says with it, what it adds."""

    id: str
    title: str
    count: int
    text: str
    places: list[str]
    kinds: list[str]


class Way(TypedDict):
    """A way of counting: how many throws it takes, and what a throw is."""

    method: str
    throws: int
    cells: int | None
    frame_ft2: float | None
    spots: int
    note: str


Spot = tuple[float, float, int | None, int | None]


class Walk(TypedDict):
    """The walks across a place, by the number of spots; steps from look to look, by the looks.

    A spot is its longitude and latitude, and from the one before the steps and the direction in
    degrees from true north."""

    spots: dict[str, list[Spot]]
    every: dict[str, int]


class Counting(TypedDict):
    """How counts are taken: the ways, the proposed of each method first; the walks by place."""

    ways: list[Way]
    walks: dict[str, Walk]


class PlanAt(TypedDict):
    """How many entries the plan has taken in, and whether these are all that there are."""

    count: int
    fresh: bool


class State(Planned):
    """Everything that a page opens with. A page that names the `tag` of what it holds is told only
    what has changed; the plan may then be of an older record, and says so."""

    form: int
    units: Literal["us", "metric"]
    language: Literal["en", "es"]
    tract: TractName
    as_of: str
    today: str
    author: str
    log: Log
    places: list[Place]
    things: dict[str, list[Kept]]
    begin: list[Beginning]
    missing: list[Finding]
    conflicts: list[Conflict]
    counting: NotRequired[Counting]
    plan: PlanAt
    tag: NotRequired[str]


class Changes(TypedDict):
    """What is another than in a state that is held (`of`), and what that makes of it (`tag`)."""

    of: str
    tag: str
    now: dict[str, Any]
    """The parts of a state of which there is one, by their names."""
    places: list[Place]
    things: dict[str, list[Kept]]
    sheets: list[Sheet]
    order: list[str]
    """The ids of all sheets, in their order."""
    gone: list[str]
    """The ids of places and things that are there no more."""


class Step(TypedDict):
    """One line of a working: how deep it hangs, what it is, how it came, from where."""

    depth: int
    path: str
    name: str
    value: str
    working: str
    origin: str
    source: str
    unchecked: bool
    assumed: bool
    entry: str
    field: str


class Why(TypedDict):
    """The working of a figure."""

    path: str
    title: str
    steps: list[Step]
    unchecked: str | None


class Entry(TypedDict):
    """Something that was said, in its envelope; `docs/record.md` tells what each part means."""

    id: str
    kind: str
    schema: int
    subject: str
    parents: list[str]
    author: str
    device: str
    said_at: str
    happened_on: str | None
    batch: str
    visibility: str
    body: Body


class Record(TypedDict):
    """The whole log, entry by entry, as it was said."""

    fencerow_record: int
    entries: list[Entry]


class Refusal(TypedDict):
    """An entry that was not taken, and why."""

    id: str
    text: str


class Receipt(TypedDict):
    """What became of each entry that was sent, by its id."""

    stored: list[str]
    known: list[str]
    clashed: list[str]
    refused: list[Refusal]


class Holds(TypedDict):
    """What a field holds: its type, choices and what they are called, limits."""

    type: str
    choices: list[str]
    names: dict[str, str]
    least: float | None
    most: float | None


class Stored(TypedDict):
    """How a number that is typed becomes what is stored: `stored = typed * factor + offset`."""

    unit: str
    factor: float
    offset: float


class Field(Holds):
    """A field that can be entered: its label and unit, and what holds where nothing is said.

    Of a list without choices `items` are the fields of one of its rows; a nameless one is the row.
    """

    name: str
    label: str
    unit: str
    stored: Stored | None
    required: bool
    preset: Any
    items: list[Field]


class PlaceKind(TypedDict):
    """A kind of place: what it is called, and how it may be drawn, the usual way first."""

    name: str
    outlines: list[str]
    visibility: str
    """Who sees a new one, unless who draws it says otherwise."""


class Level(TypedDict):
    """A level of who sees a thing, in words."""

    value: str
    name: str


class Forms(TypedDict):
    """For each kind of entry and of place its fields, in order; the kinds of place; the plants and
    their names; the levels of who sees a thing that whoever asks may choose, and whether people
    sign in here."""

    kinds: dict[str, list[Field]]
    places: dict[str, PlaceKind]
    species: dict[str, str]
    levels: list[Level]
    shared: bool


class Me(TypedDict):
    """Who asks, and what they may do; no name where nobody is signed in. `account` where they
    signed in, and so may sign out."""

    name: str
    role: str
    account: bool
    acts: list[str]
    writes: list[str]
    could: dict[str, list[str]]
    """Of what they may not do or write: the roles that may."""


class At(TypedDict):
    """A device on which somebody is signed in: since when, and when it was last seen."""

    device: str
    since: str
    last: str


class PersonOfTract(TypedDict):
    """Somebody who may sign in. `may` says what whoever asks may do about them: change the role,
    remove, sign out."""

    name: str
    role: str
    since: str
    last: str
    self: bool
    at: list[At]
    may: list[str]


class OpenInvitation(TypedDict):
    """An invitation that nobody has taken; `may` says whether whoever asks may take it back."""

    id: int
    role: str
    name: str
    ends: str
    may: bool


class NamedPlace(TypedDict):
    """A place by its id and name."""

    id: str
    name: str


class People(TypedDict):
    """Who may sign in, who is invited, and the roles that whoever asks may give. Without accounts
    whoever sits at the machine is the owner, and may make the first one (`may_begin`)."""

    accounts: bool
    may_begin: bool
    roles: list[str]
    people: list[PersonOfTract]
    invitations: list[OpenInvitation]
    shown_to_all: list[NamedPlace]
    """Places where somebody sits or watches, that everybody sees."""


class Code(TypedDict):
    """What lets one person in, once; it is told this one time."""

    code: str


class AuditLine(TypedDict):
    """What was done to an account, or was refused, and by whom; `by` is empty for the terminal and
    for what people do with their own."""

    at: str
    what: str
    name: str
    note: str
    by: str
    refused: bool


class Job(TypedDict):
    """Long work: how it stands, how far it is, what it came to."""

    id: str
    state: Literal["running", "done", "refused", "stopped"]
    done: int
    of: int
    text: str
    result: Any


class KnownTract(TypedDict):
    """A tract that stands in the server's folder."""

    folder: str
    invented: bool
    open: bool


class House(TypedDict):
    """What there is to open, and where."""

    shelf: str
    tracts: list[KnownTract]


class Linked(TypedDict):
    """A piece of a sentence, and the page that it leads to, where it does."""

    text: str
    href: NotRequired[str]


Sentence = list[Linked]


class ShelfCell(TypedDict):
    """What a column says of a tract: the first sentence, and those that open behind it."""

    id: str
    loud: bool
    said: list[Sentence]


class ShelfLine(TypedDict):
    """A tract among others: its address where it can be opened, one's role on it, what it asks for,
    and of when this is, where it is not of this moment."""

    name: str
    folder: str
    state: str
    role: str
    address: str
    need: str
    of: str
    trouble: bool
    cells: list[ShelfCell]


class ShelfSum(TypedDict):
    """A sum over tracts, and what it is summed from."""

    title: str
    terms: list[Sentence]


class ShelfColumn(TypedDict):
    """A column of the list of tracts."""

    id: str
    name: str


class Shelf(TypedDict):
    """All tracts that one may see, the most urgent first. `signs` where one signs in to all of them
    here; `left` plans are still to come."""

    lead: str
    day: str
    columns: list[ShelfColumn]
    lines: list[ShelfLine]
    sums: list[ShelfSum]
    signs: bool
    left: int


class Opened(TypedDict):
    """The tract that is open now."""

    folder: str


class Photo(TypedDict):
    """A photo that is kept."""

    sha256: str


class Unsent(TypedDict):
    """Which files of a card are still to be sent, by their number in the list."""

    unsent: list[int]


class Taken(TypedDict):
    """A photo of a card that was taken."""

    name: str


class Part(TypedDict):
    """A part of an area that was split, and its acres on the ellipsoid."""

    shape: Outline
    acres: float


class Split(TypedDict):
    """The parts of an area, the largest first."""

    parts: list[Part]


class HistoryRow(TypedDict):
    """One entry about a place, in words: when, by whom, of what kind, what it says."""

    on: str
    said_at: str
    author: str
    kind: str
    what: str
    text: str
    counts: bool
    taken_back: bool


class Permit(TypedDict):
    """A permission, why it speaks of a place that it does not name, and whether it is in force."""

    id: str
    body: Body
    why: str
    in_force: bool


class PlaceRecord(TypedDict):
    """What the plan knows of one place, its outline and its sheet aside."""

    permissions: list[Permit]
    cost: str | Told


class Relief(TypedDict):
    """The ground's relief: bounds (west, south, east, north), the image, contours as GeoJSON."""

    bounds: list[float]
    image: str
    contours: Body
