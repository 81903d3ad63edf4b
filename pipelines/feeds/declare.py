"""What a feed and a column are."""

from dataclasses import dataclass
from enum import StrEnum


class Form(StrEnum):
    """How a column is written in a file; ``typed_columns`` says what it becomes."""

    IDENTIFIER = "identifier"
    TEXT = "text"
    PROSE = "prose"
    NAME = "name"
    CODE = "code"
    CODES = "codes"
    YES_NO = "yes_no"
    PARTY = "party"
    PLACE = "place"
    INSTANT = "instant"
    PAPER = "paper"
    DATE = "date"
    PARTIAL_DATE = "partial_date"
    CLOCK_TIME = "clock_time"
    MONEY = "money"
    COST = "cost"
    QUANTITY = "quantity"
    NUMBER = "number"
    COUNT = "count"


#: How each form is written, in words for a clerk (template and dictionary).
WRITTEN: dict[Form, str] = {
    Form.IDENTIFIER: "1 to 64 visible characters; leading zeros are kept",
    Form.TEXT: "text on one line",
    Form.PROSE: "text; line breaks allowed inside quotes",
    Form.NAME: "a name as it is written, accents included",
    Form.CODE: "one of the listed codes",
    Form.CODES: "identifiers with ';' between",
    Form.YES_NO: "Y or N",
    Form.PARTY: "one of the group's location ids, or kind:code for an outside party",
    Form.PLACE: "one of the group's location ids, or kind:code for an outside place or a vehicle",
    Form.INSTANT: "YYYY-MM-DDTHH:MM with an offset (-05:00) or Z; "
    "without one, local time of the place",
    Form.PAPER: "YYYY-MM-DDTHH:MM with an offset, or the date alone if no time is on the paper",
    Form.DATE: "YYYY-MM-DD",
    Form.PARTIAL_DATE: "YYYY-MM-DD; 99 for an unknown day or month, 9999 for an unknown year",
    Form.CLOCK_TIME: "HH:MM on the 24 hour clock; 99:99 if unknown",
    Form.MONEY: "an amount with up to 2 decimals",
    Form.COST: "an amount with up to 4 decimals",
    Form.QUANTITY: "a number with up to 4 decimals",
    Form.NUMBER: "a number with up to 4 decimals",
    Form.COUNT: "a whole number",
}

#: What a figure of each form stays below, whatever its sign: more is a slip of the keyboard.
LARGEST: dict[Form, int] = {
    Form.MONEY: 100_000_000,
    Form.COST: 1_000_000,
    Form.QUANTITY: 10_000_000,
    Form.NUMBER: 10_000_000,
    Form.COUNT: 10_000_000,
}

#: Kinds of outside party, written ``kind:code``.
PARTY_KINDS = (
    "hospital",
    "residence",
    "care_facility",
    "medical_examiner",
    "funeral_home",
    "crematory",
    "cemetery",
    "carrier",
    "institution",
    "family",
)
#: Outside places are the party kinds and vehicles.
PLACE_KINDS = (*PARTY_KINDS, "vehicle")


@dataclass(frozen=True)
class TypedColumn:
    """One column of ``accepted.<feed>``: its name, SQL type and meaning."""

    name: str
    sql_type: str
    meaning: str


@dataclass(frozen=True)
class Column:
    """One column of a feed.

    ``aliases`` are other headings that mean the same. ``refers_to`` is ``feed.column`` of the list
    that must hold the value, unless it is ``beside_list``. ``source`` names the standard that a
    code list is from. ``minimum`` is the least that a figure can be; without it, it may be below
    nothing.
    ``may_be_planned``: an instant or a day that may lie ahead; every other says that something was
    done.
    """

    name: str
    form: Form
    meaning: str
    is_required: bool = False
    unit: str | None = None
    allowed: tuple[str, ...] = ()
    aliases: tuple[str, ...] = ()
    refers_to: str | None = None
    beside_list: str | None = None
    source: str | None = None
    example: str = ""
    may_be_planned: bool = False
    minimum: int | None = None

    @property
    def written(self) -> str:
        """How it is written, in words for a clerk."""
        least = "" if self.minimum is None else f", {self.minimum} or more"
        most = "" if self.below is None else f", below {self.below:,}"
        return WRITTEN[self.form] + least + most

    @property
    def below(self) -> int | None:
        """What a figure of the column stays below, whatever its sign; None of what is no figure."""
        return LARGEST.get(self.form)

    @property
    def typed_columns(self) -> tuple[TypedColumn, ...]:
        """The columns of ``accepted.<feed>`` that this one becomes."""
        return _typed_columns(self)

    @property
    def is_of_the_past(self) -> bool:
        """It says when something was done, so it cannot lie after the export that says so."""
        return self.form in {Form.INSTANT, Form.PAPER, Form.DATE} and not self.may_be_planned


@dataclass(frozen=True)
class Feed:
    """One feed: a kind of file that a drop may hold.

    ``zone_from`` names the columns whose place decides the zone of a time without an offset, first
    known first; ``case_number`` there stands for the location of the case. ``dated_by`` is the
    column whose day decides the period that a record belongs to. ``is_whole``: every file holds all
    that is in force, and what a newer one leaves out is withdrawn. ``order`` is its place among the
    feeds, after those that it refers to; without it, last.
    """

    name: str
    family: str
    meaning: str
    grain: str
    columns: tuple[Column, ...]
    key: tuple[str, ...]
    is_required: bool = False
    zone_from: tuple[str, ...] = ()
    dated_by: str | None = None
    is_whole: bool = False
    order: int = 100

    def __post_init__(self) -> None:
        unknown = {*self.key, *filter(None, [self.dated_by])} - set(self.column_names)
        if unknown:
            raise ValueError(f"feed {self.name}: key or date names no column {sorted(unknown)}")

    @property
    def column_names(self) -> tuple[str, ...]:
        return tuple(column.name for column in self.columns)

    @property
    def typed_columns(self) -> tuple[TypedColumn, ...]:
        """All typed columns, in order, and where the record stands."""
        typed = tuple(t for column in self.columns for t in column.typed_columns)
        return (*typed, *ORIGIN)

    @property
    def ddl(self) -> str:
        """The column list of ``accepted.<feed>`` and ``held.<feed>`` for CREATE TABLE."""
        return ", ".join(f'"{t.name}" {t.sql_type}' for t in self.typed_columns)

    @property
    def has_case(self) -> bool:
        return "case_number" in self.column_names

    def column(self, name: str) -> Column:
        return next(column for column in self.columns if column.name == name)


ORIGIN = (
    TypedColumn("file_id", "VARCHAR", "The file that the record is from (raw.files)."),
    TypedColumn("line", "BIGINT", "Physical line where the record begins, as an editor counts."),
)

_SCALAR_TYPES: dict[Form, str] = {
    Form.YES_NO: "BOOLEAN",
    Form.DATE: "DATE",
    Form.MONEY: "DECIMAL(18,2)",
    Form.COST: "DECIMAL(18,4)",
    Form.QUANTITY: "DECIMAL(18,4)",
    Form.NUMBER: "DECIMAL(18,4)",
    Form.COUNT: "BIGINT",
}


def _typed_columns(column: Column) -> tuple[TypedColumn, ...]:
    name, meaning = column.name, column.meaning
    match column.form:
        case Form.INSTANT:
            return (
                TypedColumn(name, "TIMESTAMP", f"{meaning} UTC."),
                TypedColumn(f"{name}_local", "TIMESTAMP", f"{meaning} Wall time of the place."),
            )
        case Form.PAPER:
            return (
                TypedColumn(name, "TIMESTAMP", f"{meaning} UTC; empty if only the date is known."),
                TypedColumn(paper_date(name), "DATE", f"{meaning} Local date."),
            )
        case Form.PARTIAL_DATE:
            return (
                TypedColumn(name, "VARCHAR", f"{meaning} As written."),
                TypedColumn(f"{name}_earliest", "DATE", f"{meaning} Earliest day it can be."),
                TypedColumn(f"{name}_latest", "DATE", f"{meaning} Latest day it can be."),
            )
    return (TypedColumn(name, _SCALAR_TYPES.get(column.form, "VARCHAR"), meaning),)


def paper_date(name: str) -> str:
    """The date column of a paper: ``permit_issued_at`` -> ``permit_issued_date``."""
    return f"{name.removesuffix('_at')}_date"
