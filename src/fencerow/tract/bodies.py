"""What an entry can say: one frozen dataclass for each kind, validated on the way in.

A number's unit is the suffix of its field. A body is the whole state of its subject.
"""

from __future__ import annotations

from datetime import date
from itertools import pairwise
from typing import Annotated, Any, Literal
from zoneinfo import available_timezones

from pydantic import AwareDatetime, Field, TypeAdapter, field_validator, model_validator
from pydantic.dataclasses import dataclass

from fencerow.tract.applied import Application, Catch, Label
from fencerow.tract.burning import BurnPrescription
from fencerow.tract.clipped import Clip
from fencerow.tract.counted import Count
from fencerow.tract.hands import Assignment, Crew, Weekday, in_order
from fencerow.tract.outings import Outing
from fencerow.tract.paid import Paid
from fencerow.tract.pictured import Card, Visit
from fencerow.tract.places import CONFIG, Bearing, Name, Place, Text, Texture
from fencerow.tract.sat import Sit
from fencerow.tract.scouted import Decision, Scouting
from fencerow.tract.signs import Drift, Sign
from fencerow.tract.taken import Duty, Harvest, Survey
from fencerow.tract.tried import Alternative, Protection, Spending

Share = Annotated[float, Field(ge=0, le=100)]
Money = Annotated[float, Field(ge=0, le=1_000_000)]
Amount = Annotated[float, Field(ge=0, le=1_000_000)]
Ph = Annotated[float, Field(ge=3.0, le=9.5)]
MonthDay = Annotated[str, Field(pattern=r"^(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$")]
Job = Literal[
    "spread lime", "spread fertilizer", "spray", "mow", "till", "drill seed", "broadcast seed",
    "burn", "drive heavy equipment",
]  # fmt: skip
JOBS: tuple[str, ...] = Job.__args__  # type: ignore[attr-defined]


@dataclass(frozen=True, config=CONFIG)
class About:
    """The tract itself. `story` says so where the ground is invented."""

    name: Name
    zone: str = "America/Chicago"
    state: Annotated[str, Field(pattern=r"^([A-Z]{2})?$")] = ""
    year_starts: MonthDay = "02-01"
    hunted_birds: tuple[Literal["dove", "waterfowl"], ...] = ()
    lime_area: Text = ""
    system: Text = ""
    budget_usd: Money | None = None
    may_fall_short: bool = False
    most_passes: Annotated[int, Field(ge=1, le=9)] | None = None
    breeding_peak: MonthDay | None = None
    fawning_peak: MonthDay | None = None
    goals: Text = ""
    """What the ground is kept for, in the person's own words; the written plan begins with it."""
    story: Text = ""

    @field_validator("zone")
    @classmethod
    def _zone(cls, value: str) -> str:
        if value not in available_timezones():
            raise ValueError("should be an IANA time zone such as America/Chicago")
        return value


@dataclass(frozen=True, config=CONFIG)
class SoilTest:
    """One sample's report. The lab's own recommendation stands beside what it measured."""

    place: str
    sampled_on: date
    ph: Ph
    lab: Text = ""
    sample: Text = ""
    ph_kind: Literal["water", "salt"] = "water"
    buffer_ph: Annotated[float, Field(ge=4.0, le=8.0)] | None = None
    buffer_method: (
        Literal["mehlich", "smp", "sikora", "adams-evans", "woodruff", "modified-woodruff"] | None
    ) = None
    acidity_meq_100g: Annotated[float, Field(ge=0, le=40)] | None = None
    extractant: Literal["bray1", "olsen", "mehlich1", "mehlich3"] | None = None
    p: Annotated[float, Field(ge=0, le=2000)] | None = None
    p_unit: Literal["ppm", "lb_ac", "index"] = "ppm"
    k: Annotated[float, Field(ge=0, le=5000)] | None = None
    k_unit: Literal["ppm", "lb_ac", "index"] = "ppm"
    mg_ppm: Annotated[float, Field(ge=0, le=5000)] | None = None
    ca_ppm: Annotated[float, Field(ge=0, le=30_000)] | None = None
    om_pct: Share | None = None
    cec_meq_100g: Annotated[float, Field(ge=0, le=100)] | None = None
    depth_in: Annotated[float, Field(ge=1, le=24)] | None = None
    texture: Texture | None = None
    lab_crop: Text = ""
    lab_lime: Amount | None = None
    lab_lime_basis: Literal["ton_ac", "enp_lb_ac", "enm_lb_ac", "cce_lb_ac"] | None = None
    lab_n_lb_ac: Annotated[float, Field(ge=0, le=400)] | None = None
    lab_p2o5_lb_ac: Annotated[float, Field(ge=0, le=600)] | None = None
    lab_k2o_lb_ac: Annotated[float, Field(ge=0, le=800)] | None = None
    s_ppm: Annotated[float, Field(ge=0, le=1000)] | None = None
    b_ppm: Annotated[float, Field(ge=0, le=100)] | None = None
    lab_s_lb_ac: Annotated[float, Field(ge=0, le=200)] | None = None
    lab_b_lb_ac: Annotated[float, Field(ge=0, le=10)] | None = None

    @model_validator(mode="after")
    def _whole(self) -> SoilTest:
        if self.lab_lime is not None and self.lab_lime_basis is None:
            raise ValueError(
                "lab_lime needs lab_lime_basis: ton_ac, enp_lb_ac, enm_lb_ac or cce_lb_ac"
            )
        if (self.p is not None or self.k is not None) and self.extractant is None:
            raise ValueError("p and k need the extractant: bray1, olsen, mehlich1 or mehlich3")
        if self.buffer_ph is not None and self.buffer_method is None:
            raise ValueError("buffer_ph needs buffer_method: which buffer did the lab use?")
        return self


@dataclass(frozen=True, config=CONFIG)
class Component:
    """One species of a blend, by one of four: a share of its full rate, a rate of the person's own,
    live seeds on a square foot, or its percent by weight in a bag that is sold mixed.

    `germination_pct` is what the tag of a mixed bag says of it, hard seed counted in.
    """

    species: str
    share_pct: Annotated[float, Field(gt=0, le=100)] | None = None
    rate_lb_ac: Annotated[float, Field(gt=0, le=500)] | None = None
    seeds_ft2: Annotated[float, Field(gt=0, le=500)] | None = None
    weight_pct: Annotated[float, Field(gt=0, le=100)] | None = None
    germination_pct: Annotated[float, Field(gt=0, le=100)] | None = None

    @model_validator(mode="after")
    def _one(self) -> Component:
        ways = (self.share_pct, self.rate_lb_ac, self.seeds_ft2, self.weight_pct)
        if sum(way is not None for way in ways) != 1:
            raise ValueError(
                "give either share_pct of the full rate or a rate_lb_ac, or seeds_ft2, or the"
                " weight_pct of a mixed bag"
            )
        if self.germination_pct is not None and self.weight_pct is None:
            raise ValueError("germination_pct goes with weight_pct; else it is the lot's")
        return self


@dataclass(frozen=True, config=CONFIG)
class Blend:
    """What is sown together; `rate_lb_ac` is the rate from the bag of one that is sold mixed."""

    name: Name
    components: Annotated[tuple[Component, ...], Field(min_length=1)]
    rate_lb_ac: Annotated[float, Field(gt=0, le=500)] | None = None

    @model_validator(mode="after")
    def _bag(self) -> Blend:
        weights = [c.weight_pct for c in self.components if c.weight_pct is not None]
        if weights and (len(weights) < len(self.components) or self.rate_lb_ac is None):
            raise ValueError("a mixed bag needs weight_pct for each species, and its rate_lb_ac")
        if sum(weights) > 100.5:
            raise ValueError("weight_pct should come to 100 at most: the rest is not pure seed")
        if self.rate_lb_ac is not None and not weights:
            raise ValueError("rate_lb_ac of the blend goes with weight_pct of a mixed bag")
        return self


@dataclass(frozen=True, config=CONFIG)
class Planting:
    """A decision to sow, or to keep, a blend on a place. The seeding factor is the person's.

    A fence or a repellent keeps deer off until `protected_until`, or, without a day, until the
    first forage. `nitrogen_pct` is how much of the nitrogen that the order asks for it gets. `over`
    names the planting that this one is sown into, as clover over fall grain.
    """

    place: str
    blend: str
    sow_on: date
    method: Literal["drilled", "broadcast"] = "broadcast"
    covered: bool = True
    seeding_factor: Annotated[float, Field(ge=0.1, le=3)] = 1.0
    stage: Literal["establish", "maintain"] = "establish"
    yield_goal_ton_ac: Annotated[float, Field(gt=0, le=12)] | None = None
    target_ph: Ph | None = None
    yield_goal_bu_ac: Annotated[float, Field(gt=0, le=400)] | None = None
    carried_off_pct: Share | None = None
    residue: Text = ""
    residue_ton_ac: Annotated[float, Field(ge=0, le=20)] | None = None
    residue_worked_in: date | None = None
    row_material: Text = ""
    row_fertilizer_lb_ac: Annotated[float, Field(ge=0, le=1000)] | None = None
    row_width_in: Annotated[float, Field(ge=2, le=60)] | None = None
    until: date | None = None
    over: str = ""
    protection: Protection = "none"
    protected_until: date | None = None
    protection_usd: Money | None = None
    nitrogen_pct: Share | None = None


@dataclass(frozen=True, config=CONFIG)
class SeedLot:
    """A lot of seed as its tag says, on hand or on offer.

    `species` is a plant, or the id of a blend that the bag holds mixed. `sprouted` of `counted`
    seeds is a count of the person's own, in a damp paper towel.
    """

    species: str
    name: Name
    purity_pct: Annotated[float, Field(gt=0, le=100)]
    germination_pct: Share
    hard_pct: Share = 0.0
    tested_on: date | None = None
    bag_lb: Annotated[float, Field(gt=0, le=2500)] = 50.0
    price_usd: Money | None = None
    on_hand_lb: Amount = 0.0
    supplier: Text = ""
    inoculated: bool | None = None
    inoculated_on: date | None = None
    inoculant_good_days: Annotated[int, Field(ge=0, le=1500)] | None = None
    inoculant_treats_lb: Annotated[float, Field(gt=0, le=5000)] | None = None
    coating_pct: Share | None = None
    other_crop_pct: Share | None = None
    weed_pct: Share | None = None
    inert_pct: Share | None = None
    noxious: Text = ""
    treated: bool | None = None
    sprouted: Annotated[int, Field(ge=0, le=2000)] | None = None
    counted: Annotated[int, Field(ge=10, le=2000)] | None = None
    counted_on: date | None = None
    origin: Text = ""
    lead_days: Annotated[int, Field(ge=0, le=365)] | None = None

    @model_validator(mode="after")
    def _alive(self) -> SeedLot:
        if not 0 < self.germination_pct + self.hard_pct <= 100:
            raise ValueError("germination_pct plus hard_pct should be above 0 and at most 100")
        parts = (self.coating_pct, self.other_crop_pct, self.weed_pct, self.inert_pct)
        whole = self.purity_pct + sum(part or 0 for part in parts)
        if whole > 100.5:
            raise ValueError(
                "purity_pct, coating_pct, other_crop_pct, weed_pct and inert_pct come to"
                f" {whole:g}, and should come to 100 at most: is coating entered as inert too?"
            )
        if (self.sprouted is None) != (self.counted is None):
            raise ValueError("sprouted needs counted: how many seeds were laid out?")
        if self.sprouted is not None and self.counted is not None and self.sprouted > self.counted:
            raise ValueError("sprouted cannot be more than counted")
        return self


SIEVES = (4, 8, 10, 20, 40, 50, 60, 100)
"""Mesh of the sieves that a lime's ticket may name, the coarsest first."""


@dataclass(frozen=True, config=CONFIG)
class Arrival:
    """Seed that came, as its own tag says; what is left out is as the lot was ordered.

    `species` only where another came instead.
    """

    lot: str
    on: date
    bags: Annotated[float, Field(ge=0, le=10_000)]
    bag_lb: Annotated[float, Field(gt=0, le=2500)] | None = None
    purity_pct: Annotated[float, Field(gt=0, le=100)] | None = None
    germination_pct: Share | None = None
    hard_pct: Share | None = None
    coating_pct: Share | None = None
    species: str = ""
    note: Text = ""


@dataclass(frozen=True, config=CONFIG)
class Material:
    """A lime or fertilizer on offer: what it carries, how it is sold, what it costs."""

    name: Name
    form: Literal["lime", "fertilizer"]
    sold_by: Literal["bag", "ton"] = "bag"
    package_lb: Annotated[float, Field(gt=0, le=60_000)] = 50.0
    price_usd: Money | None = None
    priced_on: date | None = None
    row: Text = ""
    n_pct: Share = 0.0
    p2o5_pct: Share = 0.0
    k2o_pct: Share = 0.0
    s_pct: Share = 0.0
    b_pct: Share = 0.0
    cce_pct: Annotated[float, Field(gt=0, le=180)] | None = None
    fineness_pct: Share | None = None
    enp_lb_ton: Annotated[float, Field(gt=0, le=4000)] | None = None
    enm_lb_ton: Annotated[float, Field(gt=0, le=1600)] | None = None
    lime_form: Literal["calcitic", "dolomitic", "pelletized", "other"] | None = None
    mg_pct: Annotated[float, Field(ge=0, le=60)] | None = None
    moisture_pct: Annotated[float, Field(ge=0, le=60)] | None = None
    pass_4_pct: Share | None = None
    pass_8_pct: Share | None = None
    pass_10_pct: Share | None = None
    pass_20_pct: Share | None = None
    pass_40_pct: Share | None = None
    pass_50_pct: Share | None = None
    pass_60_pct: Share | None = None
    pass_100_pct: Share | None = None
    lead_days: Annotated[int, Field(ge=0, le=365)] | None = None
    synthetic: bool | None = None
    on_hand_lb: Amount = 0.0
    least_packages: Annotated[int, Field(ge=1, le=10_000)] | None = None
    delivery_usd: Money | None = None
    supplier: Text = ""

    @model_validator(mode="after")
    def _sieved(self) -> Material:
        passed = {mesh: getattr(self, f"pass_{mesh}_pct") for mesh in SIEVES}
        read = [(mesh, share) for mesh, share in passed.items() if share is not None]
        for (coarse, more), (fine, less) in pairwise(read):
            if less > more:
                raise ValueError(
                    f"pass_{fine}_pct should not be above pass_{coarse}_pct: less passes a finer"
                    " sieve"
                )
        return self


@dataclass(frozen=True, config=CONFIG)
class Equipment:
    name: Name
    form: Literal[
        "spreader", "sprayer", "drill", "disk", "tiller", "cultipacker", "mower", "tractor", "utv"
    ]
    hopper_ft3: Annotated[float, Field(gt=0, le=2000)] | None = None
    load_limit_lb: Annotated[float, Field(gt=0, le=80_000)] | None = None
    swath_ft: Annotated[float, Field(gt=0, le=200)] | None = None
    tank_gal: Annotated[float, Field(gt=0, le=3000)] | None = None
    mixing_depth_in: Annotated[float, Field(gt=0, le=12)] | None = None
    weight_lb: Annotated[float, Field(gt=0, le=100_000)] | None = None
    spreads: tuple[Literal["lime", "fertilizer", "seed"], ...] = ()
    speed_mph: Annotated[float, Field(ge=0.5, le=20)] | None = None
    overlap_pct: Annotated[float, Field(ge=0, le=90)] | None = None
    gate: Text = ""
    nozzles: Annotated[int, Field(ge=1, le=200)] | None = None
    nozzle_spacing_in: Annotated[float, Field(ge=4, le=1000)] | None = None
    nozzle_gal_min: Annotated[float, Field(ge=0.01, le=60)] | None = None
    boom_width_ft: Annotated[float, Field(gt=0, le=200)] | None = None
    pressure_psi: Annotated[float, Field(gt=0, le=500)] | None = None
    width_ft: Annotated[float, Field(ge=0.5, le=200)] | None = None
    from_on: date | None = None
    until_on: date | None = None
    weekdays: tuple[Weekday, ...] = ()
    """Borrowed equipment: from a day until a day, on some days of the week."""

    @model_validator(mode="after")
    def _lent(self) -> Equipment:
        in_order(self.from_on, self.until_on)
        return self


@dataclass(frozen=True, config=CONFIG)
class Person:
    name: Name
    may: tuple[str, ...] = ()
    note: Text = ""


@dataclass(frozen=True, config=CONFIG)
class Deer:
    """How many deer use the ground, as the person judges it.

    `native_pct` and `mast_pct` say how much native browse and mast there is: 100 is a usual year.
    """

    low: Annotated[float, Field(ge=0, le=5000)]
    likely: Annotated[float, Field(ge=0, le=5000)]
    high: Annotated[float, Field(ge=0, le=5000)]
    note: Text = ""
    native_pct: Annotated[float, Field(ge=0, le=500)] | None = None
    mast_pct: Annotated[float, Field(ge=0, le=500)] | None = None

    @model_validator(mode="after")
    def _in_order(self) -> Deer:
        if not self.low <= self.likely <= self.high:
            raise ValueError("low, likely and high should be in that order")
        return self


@dataclass(frozen=True, config=CONFIG)
class Season:
    name: Name
    opens: date
    closes: date
    note: Text = ""

    @model_validator(mode="after")
    def _in_order(self) -> Season:
        if self.closes < self.opens:
            raise ValueError("closes should not be before opens")
        return self


@dataclass(frozen=True, config=CONFIG)
class Closing:
    """The ground is closed from a day until a day; no places named means all of it.

    Who may go in is said in words, and by people of the tract; by which access routes, and on which
    winds (where from), only where somebody set them.
    """

    closes: date
    opens: date
    places: tuple[str, ...] = ()
    may_enter: Text = ""
    people: tuple[str, ...] = ()
    routes: tuple[str, ...] = ()
    winds: tuple[Literal["N", "NE", "E", "SE", "S", "SW", "W", "NW"], ...] = ()

    @model_validator(mode="after")
    def _in_order(self) -> Closing:
        if self.opens < self.closes:
            raise ValueError("opens should not be before closes")
        return self


@dataclass(frozen=True, config=CONFIG)
class Hours:
    """Legal hours as the person read them in the rules; `checked_on` is the day of reading."""

    before_sunrise_min: Annotated[float, Field(ge=-180, le=180)]
    after_sunset_min: Annotated[float, Field(ge=-180, le=180)]
    checked_on: date | None = None
    note: Text = ""


@dataclass(frozen=True, config=CONFIG)
class Reach:
    """How far a person shoots well with one arm, by their own practice."""

    arm: Name
    effective_yd: Annotated[float, Field(gt=0, le=1000)]
    person: str = ""


@dataclass(frozen=True, config=CONFIG)
class Dataset:
    """A file kept in the tract's folder, named by its content; `issued_at` is a forecast's."""

    role: Literal["weather", "forecast", "elevation", "cover", "canopy", "attachment"]
    name: Name
    sha256: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
    format: Text = ""
    note: Text = ""
    issued_at: AwareDatetime | None = None


@dataclass(frozen=True, config=CONFIG)
class Note:
    """Something noted in seconds: what about, where, how much."""

    about: Literal["rain", "wind", "done", "seen", "weeds", "count", "visit", "photo", "other"] = (
        "other"
    )
    text: Text = ""
    place: str = ""
    amount: float | None = None
    unit: Text = ""
    facing_deg: Bearing | None = None
    photo: Annotated[str, Field(pattern=r"^([0-9a-f]{64})?$")] = ""
    """The photo's SHA-256; the file is kept in the tract's folder."""


@dataclass(frozen=True, config=CONFIG)
class FieldVerdict:
    """What the person found on a place on a day: fit for a job, or still too wet for it."""

    place: str
    on: date
    fit: bool
    job: Literal["till", "seed", "drive", "foot"] = "till"
    note: Text = ""


@dataclass(frozen=True, config=CONFIG)
class Permission:
    """What somebody allows or forbids on a place, as the person entered it, with its dates.

    No places named means the whole tract. `season_from`/`season_to` bound it within each year
    (nesting dates); `consent` says whether the operator or agency has agreed to what is planned.
    """

    form: Literal[
        "right-of-way",
        "cost-share",
        "wetland",
        "erodible",
        "organic",
        "licence",
        "baiting",
        "scents",
        "minerals",
        "transmitting cameras",
        "label",
    ]
    terms: Text = ""
    places: tuple[str, ...] = ()
    starts: date | None = None
    ends: date | None = None
    season_from: MonthDay | None = None
    season_to: MonthDay | None = None
    forbids: tuple[Job, ...] = ()
    allows: tuple[Job, ...] = ()
    consent: bool | None = None
    load_limit_lb: Annotated[float, Field(gt=0, le=200_000)] | None = None
    read_on: date | None = None


@dataclass(frozen=True, config=CONFIG)
class Done:
    """A mark on a derived task; `worked_h` is how long each of those who were at it
    worked."""

    task: str
    part: Literal["done", "partly", "not today"] = "done"
    note: Text = ""
    worked_h: Annotated[float, Field(gt=0, le=1000)] | None = None
    people: tuple[str, ...] = ()


@dataclass(frozen=True, config=CONFIG)
class Undo:
    """These entries are taken back, as if they had not been said."""

    entries: Annotated[tuple[str, ...], Field(min_length=1)]


@dataclass(frozen=True, config=CONFIG)
class Remove:
    """The subject is gone from the tract; its history stays."""

    why: Text = ""


KINDS: dict[str, tuple[int, TypeAdapter[Any]]] = {
    "about": (1, TypeAdapter(About)),
    "place": (1, TypeAdapter(Place)),
    "soil-test": (1, TypeAdapter(SoilTest)),
    "blend": (1, TypeAdapter(Blend)),
    "planting": (1, TypeAdapter(Planting)),
    "seed-lot": (1, TypeAdapter(SeedLot)),
    "arrival": (1, TypeAdapter(Arrival)),
    "material": (1, TypeAdapter(Material)),
    "equipment": (1, TypeAdapter(Equipment)),
    "catch": (1, TypeAdapter(Catch)),
    "label": (1, TypeAdapter(Label)),
    "application": (1, TypeAdapter(Application)),
    "person": (1, TypeAdapter(Person)),
    "crew": (1, TypeAdapter(Crew)),
    "assignment": (1, TypeAdapter(Assignment)),
    "scouting": (1, TypeAdapter(Scouting)),
    "decision": (1, TypeAdapter(Decision)),
    "clip": (1, TypeAdapter(Clip)),
    "card": (1, TypeAdapter(Card)),
    "visit": (1, TypeAdapter(Visit)),
    "survey": (1, TypeAdapter(Survey)),
    "harvest": (1, TypeAdapter(Harvest)),
    "duty": (1, TypeAdapter(Duty)),
    "count": (1, TypeAdapter(Count)),
    "deer": (1, TypeAdapter(Deer)),
    "alternative": (1, TypeAdapter(Alternative)),
    "spending": (1, TypeAdapter(Spending)),
    "paid": (1, TypeAdapter(Paid)),
    "season": (1, TypeAdapter(Season)),
    "closing": (1, TypeAdapter(Closing)),
    "hours": (1, TypeAdapter(Hours)),
    "reach": (1, TypeAdapter(Reach)),
    "sit": (1, TypeAdapter(Sit)),
    "outing": (1, TypeAdapter(Outing)),
    "sign": (1, TypeAdapter(Sign)),
    "drift": (1, TypeAdapter(Drift)),
    "dataset": (1, TypeAdapter(Dataset)),
    "note": (1, TypeAdapter(Note)),
    "verdict": (1, TypeAdapter(FieldVerdict)),
    "permission": (1, TypeAdapter(Permission)),
    "burn-prescription": (1, TypeAdapter(BurnPrescription)),
    "done": (1, TypeAdapter(Done)),
    "undo": (1, TypeAdapter(Undo)),
    "remove": (1, TypeAdapter(Remove)),
}
"""Every kind of entry: the version of its body, and the form that reads it."""
