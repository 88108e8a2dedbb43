"""Days, months and days of the week as they are said in each language, whatever the machine's."""

from __future__ import annotations

from datetime import date

from fencerow.words.language import Language, language

MONTHS = {
    Language.ENGLISH: (
        "January", "February", "March", "April", "May", "June",
        "July", "August", "September", "October", "November", "December",
    ),
    Language.SPANISH: (
        "enero", "febrero", "marzo", "abril", "mayo", "junio",
        "julio", "agosto", "septiembre", "octubre", "noviembre", "diciembre",
    ),
}  # fmt: skip
WEEKDAYS = {
    Language.ENGLISH: (
        "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday",
    ),
    Language.SPANISH: ("lunes", "martes", "miércoles", "jueves", "viernes", "sábado", "domingo"),
}  # fmt: skip


def month(day: date) -> str:
    """The month of a day: 'September'."""
    return MONTHS[language()][day.month - 1]


def short_month(day: date) -> str:
    """The month of a day in three letters: 'Sep'."""
    return month(day)[:3]


def weekday(day: date) -> str:
    """The day of the week: 'Saturday'."""
    return WEEKDAYS[language()][day.weekday()]


def short_weekday(day: date) -> str:
    """The day of the week in three letters: 'Sat'."""
    return weekday(day)[:3]


def day_text(day: date) -> str:
    """A day as it is said: 'Sep 4, 2027'; '4 sep 2027' in Spanish."""
    return f"{compact_day(day)}{',' if language() is Language.ENGLISH else ''} {day.year}"


def compact_day(day: date) -> str:
    """A day without its year: 'Sep 4'; '4 sep' in Spanish."""
    if language() is Language.ENGLISH:
        return f"{short_month(day)} {day.day}"
    return f"{day.day} {short_month(day)}"


def month_text(day: date) -> str:
    """A month with its year: 'Sep 2027'."""
    return f"{short_month(day)} {day.year}"


def week_day(day: date) -> str:
    """A day by the week, with its day of the month: 'Sat 4'."""
    return f"{short_weekday(day)} {day.day}"
