"""Says where a chain breaks: both events with file and line, what was expected and found."""

import duckdb
import polars as pl

from pipelines.feeds import Feed
from pipelines.sqltext import literal
from validation.contracts.chain.actions import KEEPS_REMAINS
from validation.contracts.chain.walk import UNKNOWN

_FRAME = "chain_breaks"

#: Rule -> sentence in SQL. ``this`` is the event that breaks, ``before`` the one it does not fit.
_SENTENCES = {
    "chain_correction_unknown": "this || ' corrects ' || coalesce(corrects_event_id, 'no event')"
    " || ', which is no other event of this case, or corrects in a circle.'",
    "chain_not_opened": "'The chain begins with ' || this ||"
    " '; nothing before it received the person into our care.'",
    "chain_after_disposition": "'The custody of the body had ended; then comes ' || this ||"
    " case when disc_number is null and (action like 'remains%' or action in"
    f" ({', '.join(literal(action) for action in KEEPS_REMAINS)}))"
    " then ' without a disc number.' else '.' end || after_row",
    "chain_party_break": "before_said || 'the person was with ' || expected || '; ' || this ||"
    " ' says ' || found || '.' || gap",
    "chain_two_places_at_once": "before_said || 'the person was at ' || expected ||"
    " '; at the same instant ' || this || ' says ' || found || '.'",
    "chain_place_break": "before_said || 'the person was at ' || expected || '; ' || this ||"
    " ' says ' || found || '.' || gap",
    "chain_band_mismatch": "case when is_band_loose then 'The band read or put on before is '"
    " else 'The band of the case is ' end || expected || '; ' || this || ' read ' ||"
    " found || '.' || after_row",
    "chain_move_without_band": "this || ' moved the person and read no band.' || after_row",
    "chain_closed_without_end": "'The case is closed and its chain ends with ' || this ||"
    " '; no final disposition follows.'",
}


def explain_breaks(
    con: duckdb.DuckDBPyConnection, feed: Feed, breaks: pl.DataFrame
) -> pl.DataFrame:
    """Rejects of the events where chains break: row_id, case_key, rule_code, column_name, detail,
    and held_detail for the other records of the case."""
    con.register(_FRAME, named_columns(breaks))
    whens = " ".join(f"when '{code}' then {sql}" for code, sql in _SENTENCES.items())
    explained: pl.DataFrame = con.sql(
        f"""
        with named as (
            select f.*, r.action, r.disc_number, r.corrects_event_id, {_event("r")} as this,
                coalesce('After ' || {_event("b")} || ' ', 'Before ') as before_said,
                coalesce(' It follows ' || {_event("b")} || ', '
                    || {_minutes()} || ' minutes before.', '') as after_row,
                coalesce(' ' || {_minutes()} || ' minutes lie between.', '') as gap,
                case when f.rule_code = 'chain_band_mismatch'
                    then case when f.is_band_loose then f.band_before else k.case_band end
                    else f.expected_text end as expected,
                case when f.rule_code = 'chain_band_mismatch' then r.band_number
                    else f.found_text end as found
            from {_FRAME} f
            join accepted.{feed.name} r on r.rowid = f.row_id
            left join accepted.{feed.name} b on b.rowid = f.against_row
            left join known_cases k on k.case_number = r.case_number
        )
        select row_id, case_key, rule_code, column_name, case rule_code {whens} end as detail,
            'The chain of this case breaks at ' || this || ' (' || rule_code || ').' as held_detail
        from named
        order by row_id
        """
    ).pl()
    con.unregister(_FRAME)
    return explained


def named_columns(breaks: pl.DataFrame) -> pl.DataFrame:
    """Which column each break is about, the row it does not fit, what was expected and found."""
    code = pl.col("break_code").cast(pl.String)
    is_party, is_place = code == "chain_party_break", code == "chain_place_break"
    is_at_once = code == "chain_two_places_at_once"
    is_unit = is_at_once & ~pl.col("is_place_wrong")
    from_fits = pl.col("from_party").eq_missing(pl.col("party_before"))
    party_column = pl.when(from_fits).then(pl.lit("to_party")).otherwise(pl.lit("from_party"))
    party_found = pl.format(
        "{} gives and {} takes over",
        pl.col("from_party").fill_null("nobody"),
        pl.col("to_party").fill_null("nobody"),
    )
    known = {name: pl.when(pl.col(name) != UNKNOWN).then(name) for name in _BEFORE}
    return breaks.select(
        "row_id",
        "case_key",
        code.alias("rule_code"),
        pl.when(is_party).then(party_column)
        .when(is_unit).then(pl.lit("storage_unit"))
        .when(is_place | is_at_once).then(pl.lit("place_id"))
        .when(code.str.contains("band")).then(pl.lit("band_number"))
        .when(code == "chain_correction_unknown").then(pl.lit("corrects_event_id"))
        .otherwise(pl.lit("action")).alias("column_name"),
        pl.when(is_party).then("party_row")
        .when((is_place | is_at_once) & ~is_unit).then("place_row")
        .otherwise("row_before").alias("against_row"),
        pl.when(is_party).then(known["party_before"].fill_null("nobody yet"))
        .when(is_unit).then("unit_before")
        .otherwise(known["place_before"].fill_null("no place yet")).alias("expected_text"),
        pl.when(is_party).then(party_found)
        .when(is_unit).then("storage_unit")
        .otherwise(pl.col("place_id").fill_null("no place")).alias("found_text"),
        "band_before",
        "is_band_loose",
    )  # fmt: skip


_BEFORE = ("party_before", "place_before")


def held_by_record(
    con: duckdb.DuckDBPyConnection, feed: Feed, blocked: pl.DataFrame
) -> pl.DataFrame:
    """For cases with a record that broke a rule of its own (case_key, row_id, rule_code): case_key
    and the held_detail for the other records of the case."""
    con.register(_FRAME, blocked)
    told: pl.DataFrame = con.sql(
        f"""
        select f.case_key, 'The chain of this case cannot be proven: ' || {_event("r")}
            || ' is held back (' || f.rule_code || ').' as held_detail
        from {_FRAME} f
        join accepted.{feed.name} r on r.rowid = f.row_id
        """
    ).pl()
    con.unregister(_FRAME)
    return told


def _event(alias: str) -> str:
    """SQL: an event in words, with its file and line."""
    named = f"select min(file_name) from raw.files where file_id = {alias}.file_id"
    return (
        f"coalesce({alias}.event_id, 'event without number') || ' '"
        f" || coalesce({alias}.action, 'of no known action')"
        f" || ' (' || coalesce(({named}), {alias}.file_id)"
        f" || ', line ' || cast({alias}.line as varchar) || ')'"
    )


def _minutes() -> str:
    return "cast(date_diff('minute', b.occurred_at, r.occurred_at) as varchar)"
