"""Rows of accepted feeds, written as sentences of what happened."""

from collections import defaultdict
from dataclasses import dataclass, field
from decimal import Decimal

import duckdb
import polars as pl

from pipelines.feeds import FEEDS

Value = str | int | bool | Decimal | None
Row = dict[str, Value]

#: Category and price of what ALDER offers from 2026-01-01; the rise of 2026-08-01 is added to it.
OFFERED: dict[str, tuple[str, str]] = {
    "FORWARD": ("forwarding_remains", "1900"),
    "RECEIVE": ("receiving_remains", "1800"),
    "DIRECT": ("direct_cremation", "1500"),
    "IMMEDIATE": ("immediate_burial", "1700"),
    "TRANSFER": ("transfer_of_remains", "350"),
    "EMBALM": ("embalming", "825"),
    "PREPARE": ("other_preparation", "250"),
    "VIEWING": ("facilities_staff_viewing", "500"),
    "CEREMONY": ("facilities_staff_funeral_ceremony", "600"),
    "MEMORIAL": ("facilities_staff_memorial_service", "550"),
    "GRAVESIDE": ("equipment_staff_graveside", "400"),
    "HEARSE": ("hearse", "300"),
    "LIMOUSINE": ("limousine", "150"),
    "OBC-RANGE": ("outer_burial_container_range_or_prices", "900"),
    "BASIC": ("basic_services_fee", "2100"),
}
RISE = Decimal(50)
CASKETS = {"CSK-1": "900", "CSK-2": "2400"}


@dataclass
class Group:
    """Rows per feed, the findings that must come, and the lawful twins."""

    rows: dict[str, list[Row]] = field(default_factory=lambda: defaultdict(list))
    held_rows: dict[str, list[Row]] = field(default_factory=lambda: defaultdict(list))
    quality_rows: dict[str, list[Row]] = field(default_factory=lambda: defaultdict(list))
    faults: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))
    twins: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))

    def add(self, feed: str, **values: Value) -> Row:
        """An accepted record; its line is its place in the feed."""
        row: Row = {"file_id": feed, "line": len(self.rows[feed]) + 2, **values}
        self.rows[feed].append(row)
        return row

    def hold(self, feed: str, **values: Value) -> None:
        """A record that a contract holds back."""
        row: Row = {"file_id": f"{feed}-held", "line": len(self.held_rows[feed]) + 2, **values}
        self.held_rows[feed].append(row)

    def last_line(self, back: int = 1) -> Row:
        """The newest statement line, or one before it."""
        return self.rows["statement_lines"][-back]

    def exported_before(self, line: Row, was: str | None = None) -> None:
        """An older export had this statement line in the same place, with another amount if
        ``was`` is given."""
        self.quality_rows["outdated"].append({
            "feed": "statement_lines", "file_id": line["file_id"], "line": line["line"],
            "by_file_id": line["file_id"], "by_line": line["line"],
            "fate": "repeated" if was is None else "replaced",
        })  # fmt: skip
        if was is not None:
            self._changed(line, kind="changed", column_name="line_total", was=was,
                          becomes=line["line_total"], newer_file_id=line["file_id"],
                          newer_line=line["line"])  # fmt: skip

    def price_was(self, line: Row, was: str, at: str = "2026-06-15 09:00:00") -> None:
        """An older export had this line of a list at another price, until ``at``."""
        key = ("location_id", "list_kind", "effective_from", "item_code")
        self.quality_rows["outdated"].append({
            "feed": "price_lists", "file_id": line["file_id"], "line": line["line"],
            "by_file_id": line["file_id"], "by_line": line["line"], "fate": "replaced",
        })  # fmt: skip
        self.quality_rows["changes"].append({
            "feed": "price_lists", "case_number": None,
            "record_key": "|".join(str(line[column]) for column in key),
            "older_file_id": line["file_id"], "older_line": line["line"], "changed_at": at,
            "kind": "changed", "column_name": "price", "was": was, "becomes": line["price"],
            "newer_file_id": line["file_id"], "newer_line": line["line"],
        })  # fmt: skip

    def left_out(self, line: Row) -> None:
        """Only an older export has this statement line."""
        self.rows["statement_lines"].remove(line)
        self._changed(line, kind="vanished")

    def _changed(self, line: Row, **values: Value) -> None:
        self.quality_rows["changes"].append({
            "feed": "statement_lines", "case_number": line["case_number"],
            "record_key": f"{line['document_number']}|{line['line_number']}",
            "older_file_id": line["file_id"], "older_line": line["line"],
            "changed_at": "2026-06-15 09:00:00", **values,
        })  # fmt: skip

    def fault(self, rule: str, subject: str) -> str:
        """The rule must find something on this case or place. Returns the subject."""
        self.faults[rule].add(subject)
        return subject

    def twin(self, rule: str, subject: str) -> str:
        """The lawful twin: no rule may find anything on it. Returns the subject."""
        self.twins[rule].add(subject)
        return subject

    def case(
        self,
        number: str,
        *,
        approved: str | None = "2026-06-02 12:00:00",
        closed: bool = True,
        home: str = "ALDER",
        arranged: str = "2026-06-01 10:00:00",
        trade: bool = False,
    ) -> str:
        self.add(
            "cases", case_number=number, location_id=home,
            case_status="closed" if closed else "open",
            arrangement_at=arranged, arrangement_at_local=arranged,
            embalming_approved_at=approved,
            embalming_approved_date=approved[:10] if approved else None, is_autopsied=False,
            is_trade_call=trade,
        )  # fmt: skip
        return number

    def embalmed(self, number: str, at: str = "2026-06-03 14:00:00") -> None:
        self.add("custody_events", event_id=f"{number}-emb", case_number=number, occurred_at=at,
                 occurred_at_local=at, action="embalming_started", place_id="CARE")  # fmt: skip

    def billed(self, number: str, *items: tuple[str, str, str], kind: str = "invoice",
               home: str = "ALDER", date: str = "2026-06-10", document: str | None = None,
               corrects: str | None = None, **values: Value) -> str:  # fmt: skip
        """A document whose items are (item code, quantity, unit price). Returns its number."""
        count = sum(row["case_number"] == number for row in self.rows["statement_lines"])
        document = document or f"{kind[0].upper()}-{number}-{count}"
        for position, (code, quantity, price) in enumerate(items, start=1):
            self.add("statement_lines", **{
                "document_number": document, "line_number": position, "document_kind": kind,
                "case_number": number, "location_id": home, "document_date": date,
                "item_code": code or None, "category": _category(code), "description": code,
                "quantity": quantity, "unit_price": price,
                "line_total": str(Decimal(quantity) * Decimal(price)),
                "corrects_document": corrects, **values,
            })  # fmt: skip
        return document

    def moved(self, kind: str, item: str, quantity: str = "1", unit: str = "each", *,
              case: str | None = None, place: str = "ALDER", at: str = "2026-06-03 14:00:00",
              **values: Value) -> Row:  # fmt: skip
        number = len(self.rows["supply_movements"])
        return self.add("supply_movements", **{
            "movement_id": f"M{number:04d}", "occurred_at": at, "occurred_at_local": at,
            "location_id": place, "item_code": item, "movement_kind": kind, "quantity": quantity,
            "unit": unit, "case_number": case, **values,
        })  # fmt: skip

    def listed(self, home: str, code: str, price: str, *, kind: str = "general",
               since: str = "2026-01-01", **values: Value) -> None:  # fmt: skip
        self.add("price_lists", **{
            "location_id": home, "list_kind": kind, "effective_from": since, "item_code": code,
            "category": _category(code), "description": code, "price": price,
            "is_declinable": code != "BASIC", **values,
        })  # fmt: skip

    def insert_into(self, con: duckdb.DuckDBPyConnection) -> None:
        """Write all rows into the accepted and held tables of a warehouse."""
        for schema, feeds in (("accepted", self.rows), ("held", self.held_rows)):
            for feed, rows in feeds.items():
                columns = [t.name for t in FEEDS[feed].typed_columns]
                named = [c for c in columns if any(c in row for row in rows)]
                frame = pl.DataFrame(
                    {c: [None if (v := r.get(c)) is None else str(v) for r in rows] for c in named}
                )
                con.register("new_rows", frame)
                names = ", ".join(named)
                con.execute(f"insert into {schema}.{feed} ({names}) select {names} from new_rows")
                con.unregister("new_rows")
        for table, rows in self.quality_rows.items():
            con.register("new_rows", pl.DataFrame(rows, infer_schema_length=None))
            con.execute(f"insert into quality.{table} by name from new_rows")
            con.unregister("new_rows")


def _category(code: str) -> str:
    if code in OFFERED:
        return OFFERED[code][0]
    if code.startswith("CSK"):
        return "casket_range_or_prices"
    if code.startswith("ADV"):
        return "cash_advance"
    if code.startswith("FEE"):
        return "other"
    return {"": "tax", "HEADER": "list_header"}.get(code, "merchandise")
