"""Rows of a file on their way into ``raw.<feed>``: columns by name, undeclared ones as JSON."""

from pipelines.load.headings import Heading
from pipelines.load.prove import Proof
from pipelines.sqltext import identifier, literal


def positions(proof: Proof) -> list[str]:
    """Names of the columns of a row as it comes: f0, f1, ... by position in the file."""
    return [f"f{heading.position}" for heading in proof.headings]


def extra_name(heading: Heading) -> str:
    """What an undeclared column is called: its heading, or its place when it has none."""
    return heading.text or f"column {heading.position + 1}"


def insertion(feed: str, proof: Proof, line: str, rows: str) -> str:
    """SQL that inserts the rows of ``rows`` (a FROM clause over f0, f1, ...) into raw.

    Extra columns with data go into ``extra_fields``. ``line`` is SQL of what ``line`` gets.
    """
    known = {h.column: h.position for h in proof.headings if h.column}
    extras = [h for h in proof.headings if h.column is None]
    extra = "null"
    if extras:
        pairs = ", ".join(f"{literal(extra_name(h))}, f{h.position}" for h in extras)
        some = "coalesce(" + ", ".join(f"f{h.position}" for h in extras) + ") is not null"
        extra = f"case when {some} then json_object({pairs}) end"
    names = "".join(f"{identifier(name)}, " for name in known)
    fields = "".join(f"f{position}, " for position in known.values())
    return (
        f"insert into raw.{feed} ({names}extra_fields, file_id, line) "
        f"select {fields}{extra}, {literal(proof.file_id)}, {line} from {rows}"
    )


def is_blank(proof: Proof) -> str:
    """SQL: a row of separators alone, which is a blank line."""
    return "coalesce(" + ", ".join(positions(proof)) + ") is null"


def is_repeated_header(proof: Proof) -> str:
    """SQL: the row says again what the header says, as files put together by hand do."""
    same = [
        f"trim(coalesce(f{h.position}, '')) = {literal(h.text)}" for h in proof.headings
    ]
    return "(" + " and ".join(same) + ")"


def note_repeated_headers(feed: str, proof: Proof, rows: str) -> str:
    """SQL that notes each row of ``rows`` (a tail of a query that gives ``line``)."""
    return f"""
        insert into raw.file_notes
        select {literal(proof.file_id)}, {literal(feed)}, line, 'repeated_header',
            'The header stands here again; it is counted as a header line.'
        from {rows}
    """
