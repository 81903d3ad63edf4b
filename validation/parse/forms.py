"""How each form of text becomes typed values, as SQL.

Every value is gated by a pattern before it is cast: a cast alone turns '10.5' into 11 and throws
an offset away. The typed value of text that breaks its form is NULL; ``diagnosis`` names the rule.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from pipelines.feeds import Column, Form
from pipelines.feeds.declare import WRITTEN
from pipelines.load.damage import DAMAGED, ERROR_WORDS, NAMING, holds_record
from pipelines.sources import DECLARED, Reading
from pipelines.sources.words import in_our_words
from pipelines.sources.written import as_point_decimal, order_hint
from pipelines.sqltext import identifier, literal, trimmed

#: Control, format (zero width, direction override), private-use characters, the separators of lines
#: and paragraphs that are no control characters (U+2028, U+2029), replacement mark.
_HIDDEN = r"\p{Cf}\p{Co}\p{Zl}\p{Zp}\x{FFFD}"
_UNSAFE = rf"[\p{{Cc}}{_HIDDEN}]"
_UNSAFE_PROSE = rf"[^\n\r\t\P{{Cc}}]|[{_HIDDEN}]"
#: What stands about a value and is none of it: space, tab, no-break space.
_TAB = "\t"
_BLANKS = f" {_TAB}\u00a0"
_DATE = r"[12]\d{3}-\d{2}-\d{2}"
_TIME = r"([01]\d|2[0-3]):[0-5]\d(:[0-5]\d(\.\d{1,6})?)?"
_WITH_OFFSET = rf"{_DATE}[T ]{_TIME}(Z|[+-]\d{{2}}:?\d{{2}})"
_BARE = rf"{_DATE}[T ]{_TIME}"
_CLOCK = r"([01]\d|2[0-3]):[0-5]\d|99:99"
_COUNT = r"-?\d{1,15}"
_MONTH_AND_DAY = r"(99|0[1-9]|1[0-2])-(99|0[1-9]|[12]\d|3[01])"
_PARTIAL_DATE = rf"[12]\d{{3}}-{_MONTH_AND_DAY}"
_UNKNOWN_DATE = rf"9999-{_MONTH_AND_DAY}"
_TWO_DIGIT_YEAR = r"\d{1,2}[/.-]\d{1,2}[/.-]\d{2}([T ].*)?"
_DAY_NUMBER = r"[2-6]\d{4}(\.\d+)?"
#: Letters beyond ASCII as UTF-8 read as Windows-1252: a lead byte with a trail byte that is no
#: quotation mark or dash of its own right, and the marks of typographic punctuation.
_DOUBLE_ENCODED = (
    "[\u00c2-\u00c5\u00ce-\u00d1]"
    "[\u0080-\u00bf\u20ac\u201a\u0192\u201e\u2020\u2021\u02c6\u2030\u0160\u2039\u0152\u017d\u2022\u02dc"
    "\u2122\u0161\u203a\u0153\u017e\u0178]"
    "|\u00e2\u20ac[\u0080-\u00bf\u0153\u0153\u2122\u02dc\u201c\u201d\u2018\u2019\u00a6]|\u00ef\u00bf\u00bd"
)
_DAMAGED_OR_ERROR = "|".join([DAMAGED, *map(re.escape, ERROR_WORDS)])
_LONGEST = {Form.TEXT: 500, Form.NAME: 500, Form.CODES: 5_000, Form.PROSE: 20_000}
_CURRENCY = "[$€£]"
#: Thousands are grouped by one mark all through, or not at all.
_GROUPED = "|".join(rf"\d{{1,3}}({mark}\d{{3}})+" for mark in (",", " ", r"\x{00A0}"))
_WHOLE = rf"({_GROUPED}|\d{{1,16}})"
#: The text forms; identifiers have a length of their own.
TEXT_FORMS = frozenset(
    {Form.IDENTIFIER, Form.TEXT, Form.PROSE, Form.NAME, Form.CODE, Form.CODES, Form.PARTY,
     Form.PLACE}
)  # fmt: skip
DATED = frozenset({Form.INSTANT, Form.PAPER, Form.DATE, Form.PARTIAL_DATE})
_DECIMALS = {Form.MONEY: 2, Form.COST: 4, Form.QUANTITY: 4, Form.NUMBER: 4}


@dataclass(frozen=True)
class Hygiene:
    """What is proven of a feed's files: only printable ASCII; no line break inside a record.

    ``widths``: each separator of its files, with the fewest columns that a file of it has.
    """

    is_plain: bool
    has_breaks: bool
    widths: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True)
class ColumnReading:
    """SQL that reads one column, in two layers.

    ``first`` reads ``text_<name>`` into named values; ``last`` gives the typed columns from those,
    in the order of ``column.typed_columns``; ``fault`` is true for text that broke its form.
    """

    first: dict[str, str]
    last: list[str]
    fault: str


def text_name(name: str) -> str:
    """The column of the cleaned text."""
    return identifier(f"text_{name}")


def day_name(name: str, how: Reading) -> str:
    """The column of the cleaned text of a day, with or without a time, year first."""
    return text_name(name) if how.dates == DECLARED.dates else identifier(f"iso_{name}")


def cleaned(name: str, hygiene: Hygiene, how: Reading) -> str:
    """SQL of the trimmed text of a raw column, in our words; NULL when nothing is left."""
    column = f"r.{identifier(name)}"
    text = trimmed(column, is_ascii=True)
    if not hygiene.is_plain:
        has_marks = (
            f"{column} < '!' or suffix({column}, ' ') or suffix({column}, {literal(_TAB)}) "
            f"or strlen({column}) <> length({column})"
        )
        bare = f"nullif(trim({column}, {literal(_BLANKS)}), '')"
        text = f"case when {has_marks} then {bare} else {column} end"
    return in_our_words(name, f"({text})", how)


def reading(
    column: Column, hygiene: Hygiene, how: Reading, factors: Mapping[str, str]
) -> ColumnReading:
    """How the column is read. ``factors`` gives the factor of a column in another unit."""
    t, name, form = text_name(column.name), identifier(column.name), column.form
    if form in DATED:
        t = day_name(column.name, how)
    elif form in _DECIMALS:
        t = as_point_decimal(t, how.decimal)
    if column.name in factors:
        value = f"cast({_scalar(t, form, hygiene)} as decimal(28,4))"
        scaled = f"try_cast({value} * cast({literal(factors[column.name])} as decimal(18,8)) "
        return ColumnReading({name: f"{scaled}as decimal(18,4))"}, [name], f"{name} is null")
    match form:
        case Form.INSTANT:
            utc = {name: _instant(t, clock_zone(how))}
            return ColumnReading(utc, [name, _local(name)], f"{name} is null")
        case Form.PAPER:
            alone = identifier(f"{column.name}_alone")
            first = {
                name: _instant(t, clock_zone(how)),
                alone: f"case when {_full(t, _DATE)} then try_cast({t} as date) end",
            }
            day = f"coalesce({alone}, cast({_local(name)} as date))"
            return ColumnReading(first, [name, day], f"coalesce({name}, {alone}) is null")
        case Form.PARTIAL_DATE:
            earliest = identifier(column.typed_columns[1].name)
            text = f"case when {_full(t, _UNKNOWN_DATE)} or {earliest} is not null then {t} end"
            last = [text, earliest, _latest(t, earliest)]
            return ColumnReading({earliest: _earliest(t)}, last, f"({text}) is null")
    return ColumnReading({name: _scalar(t, form, hygiene)}, [name], f"{name} is null")


def _scalar(t: str, form: Form, hygiene: Hygiene) -> str:
    if form in TEXT_FORMS:
        return _text(t, form, hygiene)
    match form:
        case Form.DATE:
            return f"case when {_full(t, _DATE)} then try_cast({t} as date) end"
        case Form.CLOCK_TIME:
            return f"case when {_full(t, _CLOCK)} then {t} end"
        case Form.YES_NO:
            return f"case {t} when 'Y' then true when 'N' then false end"
        case Form.COUNT:
            return f"case when {_full(t, _COUNT)} then try_cast({t} as bigint) end"
        case Form.MONEY | Form.COST:
            return _money(t, _DECIMALS[form])
    pattern = rf"-?\d{{1,14}}(\.\d{{1,{_DECIMALS[form]}}})?"
    return f"case when {_full(t, pattern)} then try_cast({t} as decimal(18,4)) end"


def evidence(column: Column) -> str:
    """The typed column that is NULL exactly when the text is blank or breaks its form."""
    names = [t.name for t in column.typed_columns]
    return names[1] if column.form is Form.PAPER else names[0]


def diagnosis(column: Column, hygiene: Hygiene, how: Reading) -> tuple[str, str]:
    """SQL of the rule code and of the detail in words, for text that broke its form."""
    rule, detail = _diagnosis(column, hygiene, how)
    is_error = f"{text_name(column.name)} in ({_words(ERROR_WORDS)})"
    return f"case when {is_error} then 'spreadsheet_error' else {rule} end", detail


def _diagnosis(column: Column, hygiene: Hygiene, how: Reading) -> tuple[str, str]:
    t, form = text_name(column.name), column.form
    is_day_number = _full(t, _DAY_NUMBER)
    if form in TEXT_FORMS:
        is_prose = form is Form.PROSE
        broken = f"contains({t}, chr(10)) or contains({t}, chr(13))"
        rule = (
            f"case when {holds_record(t, hygiene.widths) if is_prose else 'false'} "
            "then 'swallowed_record' "
            f"when {not is_prose} and ({broken}) then 'line_break_in_field' "
            f"when regexp_matches({t}, {literal(_UNSAFE_PROSE if is_prose else _UNSAFE)}) "
            "then 'control_character' "
            f"when {not is_prose} and regexp_matches({t}, {literal(_DOUBLE_ENCODED)}) "
            "then 'double_encoded_text' "
            f"when {form in NAMING} and {_full(t, DAMAGED)} then 'spreadsheet_identifier' "
            f"else {literal('not_an_identifier' if form in NAMING else 'text_too_long')} end"
        )
        return rule, literal(_expected(form))
    if form in DATED:
        day, zone = day_name(column.name, how), clock_zone(how)
        other = "not_an_instant" if form in {Form.INSTANT, Form.PAPER} else "not_a_date"
        rule = (
            f"case when {_full(t, _TWO_DIGIT_YEAR)} then 'two_digit_year' "
            f"when {is_day_number} then 'spreadsheet_day_number' "
            f"when {_full(day, _BARE)} and {zone} is not null "
            f"and try_cast({day} as timestamp) is not null "
            f"and {literal(form)} in ('instant', 'paper') then 'missing_local_hour' "
            f"else '{other}' end"
        )
        # Where the order is declared, a day that does not fit it is simply no day.
        hint = order_hint(t) if how.dates == DECLARED.dates else ""
        would_be = (
            f"case {hint} when {is_day_number} "
            f"then 'Looks like a spreadsheet day number; it would be ' || "
            f"cast(date '1899-12-30' + cast(floor(cast({t} as double)) as integer) as varchar) "
            "|| '. ' "
            f"when {_full(day, _BARE)} and {zone} is null "
            "then 'No known place gives this local time its zone. ' else '' end"
        )
        expected = _expected(form)
        if how.dates != DECLARED.dates:
            expected += f" This source is declared to write days as {how.dates}."
        return rule, f"{would_be} || {literal(expected)}"
    if form in _DECIMALS:
        other = "not_money" if form in {Form.MONEY, Form.COST} else "not_a_number"
        many = rf"[-(]?{_CURRENCY}?{_WHOLE}\.\d{{{_DECIMALS[form] + 1},}}[-)]?"
        rule = f"case when {_full(t, many)} then 'too_many_decimals' else '{other}' end"
        return rule, literal(_expected(form))
    rules = {Form.YES_NO: "not_in_list", Form.CLOCK_TIME: "not_an_instant"}
    return literal(rules.get(form, "not_a_number")), literal(_expected(form))


def _expected(form: Form) -> str:
    return f"Expected: {WRITTEN[form]}."


def _full(t: str, pattern: str) -> str:
    return f"regexp_full_match({t}, {literal(pattern)})"


def _text(t: str, form: Form, hygiene: Hygiene) -> str:
    if not hygiene.is_plain:
        t = f"nfc_normalize({t})"
    length = "strlen" if hygiene.is_plain else "length"
    tests = [f"{length}({t}) <= {_LONGEST.get(form, 64)}"]
    if form in NAMING:
        # A comparison first: hardly any identifier comes to the pattern, which is far slower.
        tests.append(f"not (({t} < '>' or strlen({t}) = 6) and {_full(t, _DAMAGED_OR_ERROR)})")
    else:
        tests.append(f"not ({t} < '$' and {t} in ({_words(ERROR_WORDS)}))")
    if not hygiene.is_plain:
        unsafe = _UNSAFE_PROSE if form is Form.PROSE else f"{_UNSAFE}|{_DOUBLE_ENCODED}"
        tests.append(f"not regexp_matches({t}, {literal(unsafe)})")
    if hygiene.has_breaks and form is Form.PROSE:
        tests.append(f"not ({holds_record(t, hygiene.widths)})")
    elif hygiene.is_plain and hygiene.has_breaks and form is not Form.PROSE:
        tests.append(f"not contains({t}, chr(10)) and not contains({t}, chr(13))")
    value = f"regexp_replace({t}, '\\s*;\\s*', ';', 'g')" if form is Form.CODES else t
    return f"case when {' and '.join(tests)} then {value} end"


def _words(words: Iterable[str]) -> str:
    return ", ".join(map(literal, words))


def clock_zone(how: Reading) -> str:
    """SQL of the zone of times without an offset: the source's own, else that of the place."""
    return literal(how.zone) if how.zone else "zone"


def _instant(t: str, zone: str) -> str:
    """UTC of an instant. A bare local time needs ``zone``: in the doubled hour the earlier instant
    is taken; in the missing hour there is none.

    The engine takes the later of two. Three hours before, the clocks had not gone back yet, so
    three hours after that instant is the earlier one, however far they went: half an hour or two.
    """
    wall = f"try_cast({t} as timestamp)"
    early = f"timezone({zone}, {wall} - interval '3 hours') + interval '3 hours'"
    late = f"timezone({zone}, {wall})"
    bare = (
        f"case when timezone({zone}, {early}) = {wall} then {early} "
        f"when timezone({zone}, {late}) = {wall} then {late} end"
    )
    return (
        f"case when {_full(t, _WITH_OFFSET)} then {_utc(f'try_cast({t} as timestamptz)')} "
        f"when {_full(t, _BARE)} then {_utc(bare)} end"
    )


def _utc(instant: str) -> str:
    """What clocks in UTC show: the same number, which spares the calendar of a zone."""
    return f"make_timestamp(epoch_us({instant}))"


def _local(utc: str) -> str:
    return f"coalesce(timezone(zone, make_timestamptz(epoch_us({utc}))), {utc})"


def _earliest(t: str) -> str:
    """The first day that a partial date can be; none for an unknown year."""
    month, day = (f"replace(substr({t}, {start}, 2), '99', '01')" for start in (6, 9))
    day = f"case when substr({t}, 6, 2) = '99' then '01' else {day} end"
    first = f"try_cast(left({t}, 5) || {month} || '-' || {day} as date)"
    return f"case when {_full(t, _PARTIAL_DATE)} then {first} end"


def _latest(t: str, earliest: str) -> str:
    """The last day that a partial date can be, from the first."""
    return (
        f"case when substr({t}, 6, 2) = '99' "
        f"then cast({earliest} + interval '1 year' - interval '1 day' as date) "
        f"when substr({t}, 9, 2) = '99' "
        f"then cast({earliest} + interval '1 month' - interval '1 day' as date) "
        f"else {earliest} end"
    )


def _money(t: str, decimals: int) -> str:
    plain = rf"-?\d{{1,14}}(\.\d{{1,{decimals}}})?"
    number = rf"{_WHOLE}(\.\d{{1,{decimals}}})?"
    amount = rf"({_CURRENCY} ?)?{number}"
    dressed = rf"(- ?)?{amount}|{_CURRENCY}-{number}|{amount}-|\( ?{amount}\)"
    digits = f"regexp_replace({t}, '[^0-9.]', '', 'g')"
    sign = f"case when {t} like '(%' or contains({t}, '-') then '-' else '' end"
    cast = f"decimal(18,{decimals})"
    return (
        f"case when {_full(t, plain)} then try_cast({t} as {cast}) "
        f"when {_full(t, dressed)} then try_cast({sign} || {digits} as {cast}) end"
    )
