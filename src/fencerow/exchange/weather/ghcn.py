"""GHCN-Daily in: fixed width (.dly), CSV by year, CSV by station; told apart by content.

All three hold whole numbers: tenths of a degree C, tenths of a mm of rain, mm of snow, -9999 for
missing. Layouts: NOAA NCEI, GHCN-Daily. The order of the rows is not assumed.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Sequence
from typing import NoReturn

import numpy as np
import numpy.typing as npt

from fencerow.exchange.weather._cells import ELEMENTS, MISSING, SOURCE, Cells, assemble
from fencerow.exchange.weather.report import Weather
from fencerow.science.weather.series import Station, Times
from fencerow.words import BadInput

_WIDTH = 269
_STATION = r"[A-Z]{2}[A-Z0-9_.-]{9}"
_FIXED = re.compile(_STATION + r"\d{6}[A-Z0-9]{4}")
_BY_YEAR = re.compile(_STATION + r",\d+,")
_BY_YEAR_COLUMNS = ("ID", "DATE", "ELEMENT", "VALUE", "M", "Q", "S", "TIME")
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_PLACE = ("LATITUDE", "LONGITUDE", "ELEVATION")


def looks_fixed(lines: Sequence[str]) -> bool:
    """Whether these lines are GHCN-Daily of fixed width."""
    return _FIXED.match(lines[0]) is not None


def looks_by_year(lines: Sequence[str]) -> bool:
    """Whether these lines are GHCN-Daily CSV by year, with or without a line of column names."""
    return _BY_YEAR.match(lines[0]) is not None or _head(lines)[:3] == list(_BY_YEAR_COLUMNS[:3])


def looks_by_station(lines: Sequence[str]) -> bool:
    """Whether these lines are GHCN-Daily CSV by station."""
    return "STATION" in _head(lines)


def parse_fixed(file: str, lines: Sequence[str], station: str | None = None) -> Weather:
    """Read the fixed-width layout: a line for each station, month and element, 31 values in it.

    Raises:
        BadInput: a line is cut short, a number or date is none, a day does not exist, the file
            holds several stations, or what `assemble` refuses.
    """
    padded = [_whole_line(file, row, line) for row, line in enumerate(lines, 1)]
    grid = np.frombuffer("".join(padded).encode("ascii"), "S1").reshape(-1, _WIDTH)
    ids, codes = _text(grid[:, :11]), _text(grid[:, 17:21])
    month = _months(file, _text(grid[:, 11:17]))
    cell = grid[:, 21:].reshape(-1, 31, 8)
    row = np.repeat(np.arange(1, len(grid) + 1), 31)
    code = np.repeat(codes, 31)
    raw = _numbers(file, _text(cell[..., :5]).ravel().tolist(), lambda i: (row[i], code[i]))
    day: Times = (
        month.astype("datetime64[D]")[:, None] + np.arange(31).astype("timedelta64[D]")
    ).ravel()
    real = day.astype("datetime64[M]") == np.repeat(month, 31)
    if len(wrong := np.flatnonzero(~real & (raw != MISSING))):
        i = wrong[0]
        raise BadInput("weather-no-such-day", file=file, row=row[i], field=code[i], day=i % 31 + 1)
    m, q = _text(cell[..., 5:6]).ravel(), _text(cell[..., 6:7]).ravel()
    cells = Cells(row, day, code, raw, m, q, np.full(len(raw), -1))
    id_ = _one_station(file, ids, station)
    wanted = real & np.repeat(ids == id_, 31)
    return assemble(file, "GHCN-Daily .dly", Station(id_, source=SOURCE), cells.where(wanted))


def _whole_line(file: str, row: int, line: str) -> str:
    if not line.isascii():
        raise BadInput("weather-encoding", file=file, row=row)
    if _WIDTH - 3 <= len(line) < _WIDTH and line[261:266] == str(MISSING):
        # an editor took the blank flags of a missing 31st away: nothing is lost with them
        line = line.ljust(_WIDTH)
    if len(line) != _WIDTH:
        raise BadInput("weather-cut-line", file=file, row=row, length=len(line), want=_WIDTH)
    return line


def _text(chars: npt.NDArray[np.bytes_]) -> npt.NDArray[np.str_]:
    """The last axis of single characters joined to one text each."""
    joined = np.ascontiguousarray(chars).view(f"S{chars.shape[-1]}")[..., 0]
    text: npt.NDArray[np.str_] = joined.astype(f"U{chars.shape[-1]}")
    return text


def _months(file: str, texts: npt.NDArray[np.str_]) -> Times:
    number = _numbers(file, texts.tolist(), lambda i: (i + 1, "year and month"))
    year, month = np.divmod(number, 100)
    if len(wrong := np.flatnonzero((month < 1) | (month > 12))):
        row = int(wrong[0]) + 1
        raise BadInput("weather-bad-date", file=file, row=row, value=texts[wrong[0]])
    months: Times = ((year - 1970) * 12 + month - 1).astype("datetime64[M]")
    return months


def parse_by_year(file: str, lines: Sequence[str], station: str | None = None) -> Weather:
    """Read the layout ID, DATE, ELEMENT, VALUE, M, Q, S, TIME: a row for each value.

    Raises:
        BadInput: a row has other columns, a number or date is none, the file holds several
            stations, or what `assemble` refuses.
    """
    skip = int(_BY_YEAR.match(lines[0]) is None)
    rows = _table(file, lines, len(_BY_YEAR_COLUMNS), skip)
    id_text, date, code, value, m, q, _, time = zip(*rows, strict=True)
    row = np.arange(1, len(rows) + 1) + skip
    cells = Cells(
        row,
        _days(file, row, [f"{d[:4]}-{d[4:6]}-{d[6:]}" for d in date]),
        np.array(code),
        _numbers(file, value, lambda i: (row[i], code[i])),
        np.array([_flag(file, row[i], code[i], flag) for i, flag in enumerate(m)]),
        np.array([_flag(file, row[i], code[i], flag) for i, flag in enumerate(q)]),
        np.array([_hour(t) for t in time]),
    )
    ids = np.array(id_text)
    id_ = _one_station(file, ids, station)
    found = Station(id_, source=SOURCE)
    return assemble(file, "GHCN-Daily CSV by year", found, cells.where(ids == id_))


def parse_by_station(file: str, lines: Sequence[str], station: str | None = None) -> Weather:
    """Read the layout STATION, DATE, ..., PRCP, PRCP_ATTRIBUTES, ...: a row for each day.

    Raises:
        BadInput: a column is missing, a number or date is none, values have decimals (other
            units), the file holds several stations, or what `assemble` refuses.
    """
    head = _head(lines)
    codes = [code for code in ELEMENTS if code in head]
    _need_columns(file, head, codes)
    rows = _table(file, lines, len(head), 1)
    column = dict(zip(head, zip(*rows, strict=True), strict=True))
    row = np.arange(2, len(rows) + 2)
    day = _days(file, row, column["DATE"])
    ids = np.array([text.strip() for text in column["STATION"]])
    id_ = _one_station(file, ids, station)
    cells = Cells.joined([_column(file, row, day, code, column) for code in codes])
    found = _station(file, id_, column, int(np.argmax(ids == id_)))
    wanted = np.tile(ids == id_, len(codes))
    return assemble(file, "GHCN-Daily CSV by station", found, cells.where(wanted))


def _need_columns(file: str, head: Sequence[str], codes: Sequence[str]) -> None:
    needed = {"STATION", "DATE", *(f"{code}_ATTRIBUTES" for code in codes)}
    if missing := sorted(needed - set(head)):
        raise BadInput("weather-columns", file=file, missing=", ".join(missing))
    if not codes:
        raise BadInput("weather-nothing-known", file=file, elements=", ".join(ELEMENTS))
    if len(set(head)) != len(head):
        raise BadInput("weather-columns-twice", file=file)


def _column(
    file: str,
    row: npt.NDArray[np.int64],
    day: Times,
    code: str,
    column: dict[str, tuple[str, ...]],
) -> Cells:
    """The cells of one element of a file by station."""
    texts = [text.strip() or str(MISSING) for text in column[code]]
    raw = _numbers(file, texts, lambda i: (row[i], code))
    flags = [(text + ",,,").split(",") for text in column[f"{code}_ATTRIBUTES"]]
    m = np.array([_flag(file, row[i], code, f[0]) for i, f in enumerate(flags)])
    q = np.array([_flag(file, row[i], code, f[1]) for i, f in enumerate(flags)])
    hour = np.array([_hour(f[3]) for f in flags])
    return Cells(row, day, np.full(len(row), code), raw, m, q, hour)


def _station(file: str, id_: str, column: dict[str, tuple[str, ...]], at: int) -> Station:
    blank = ("",) * (at + 1)
    place: list[float | None] = []
    for name in _PLACE:
        text = column.get(name, blank)[at].strip()
        try:
            place.append(float(text) if text else None)
        except ValueError:
            _no_number(file, at + 2, name, text)
    name = column.get("NAME", blank)[at].strip()
    return Station(id_, name, place[0], place[1], place[2], SOURCE)


def _head(lines: Sequence[str]) -> list[str]:
    return [text.strip().strip('"').strip().upper() for text in lines[0].split(",")]


def _table(file: str, lines: Sequence[str], width: int, skip: int) -> list[list[str]]:
    """The rows of a CSV after its line of names; there is at least one."""
    rows: list[list[str]] = []
    reader = csv.reader(lines, strict=True)
    try:
        for values in reader:
            if len(values) != width:
                raise BadInput(
                    "weather-row-width",
                    file=file, row=reader.line_num, got=len(values), want=width,
                )  # fmt: skip
            rows.append(values)
    except csv.Error as error:
        raise BadInput("weather-bad-csv", file=file, row=reader.line_num, why=error) from None
    if len(rows) == skip:
        raise BadInput("weather-nothing-known", file=file, elements=", ".join(ELEMENTS))
    return rows[skip:]


def _days(file: str, row: npt.NDArray[np.int64], texts: Sequence[str]) -> Times:
    """Dates as written, YYYY-MM-DD; anything else, and a day that does not exist, is refused."""
    days = np.empty(len(texts), dtype="datetime64[D]")
    for i, text in enumerate(texts):
        try:
            days[i] = np.datetime64(text if _DATE.fullmatch(text) else "none")
        except ValueError:
            raise BadInput("weather-bad-date", file=file, row=row[i], value=text) from None
    return days


def _numbers(
    file: str, texts: Sequence[str], where: Callable[[int], tuple[object, object]]
) -> npt.NDArray[np.int64]:
    """Texts as whole numbers; `where` tells the row and field of a text that is none."""
    try:
        return np.array([int(text) for text in texts], dtype=np.int64)
    except (ValueError, OverflowError):
        for i, text in enumerate(texts):
            if not re.fullmatch(r"\s*[+-]?\d{1,9}\s*", text, re.ASCII):
                _no_number(file, *where(i), text)
        raise


def _no_number(file: str, row: object, field: object, text: str) -> NoReturn:
    decimal = re.fullmatch(r"\s*[+-]?\d*\.\d+\s*", text, re.ASCII) is not None
    id_ = "weather-decimals" if decimal else "weather-no-number"
    raise BadInput(id_, file=file, row=row, field=field, value=text.strip())


def _flag(file: str, row: object, field: str, text: str) -> str:
    """A flag of one character; blank stays a blank."""
    flag = text.strip() or " "
    if len(flag) > 1:
        raise BadInput("weather-bad-flag", file=file, row=row, field=field, value=text)
    return flag


def _hour(text: str) -> int:
    """HHMM of the reading as a number, -1 where it is not given."""
    return int(text) if text.isascii() and text.isdigit() and len(text) <= 4 else -1


def _one_station(file: str, ids: npt.NDArray[np.str_], wanted: str | None) -> str:
    found = np.unique(ids).tolist()
    if wanted is not None and wanted not in found:
        raise BadInput("weather-no-station", file=file, station=wanted, found=", ".join(found[:5]))
    if wanted is None and len(found) > 1:
        shown = ", ".join(found[:5])
        raise BadInput("weather-stations", file=file, count=len(found), found=shown)
    return wanted or str(found[0])
