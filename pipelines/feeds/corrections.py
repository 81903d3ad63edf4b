"""Known errors of a source that it cannot mend itself, corrected until it does."""

from pipelines.feeds.declare import Column, Feed, Form

FEED = Feed(
    name="corrections",
    family="decisions",
    meaning="Values of exported records that are known to be wrong, and what they should be. "
    "Each file holds all that are in force: what a newer one leaves out is withdrawn.",
    grain="One row per corrected value of one record of one file.",
    is_whole=True,
    key=("file_name", "record_key", "column_name"),
    columns=(
        Column("file_name", Form.TEXT, "The file that holds the wrong value.", True,
               example="cases-2026-11-16.csv"),
        Column("record_key", Form.TEXT, "Key of the record, its parts with '|' between.", True,
               example="AL-26-0001"),
        Column("column_name", Form.IDENTIFIER, "Column of the value; not one of the key.", True,
               example="sex"),
        Column("was", Form.TEXT, "The wrong value as the file has it; blank if it has none.",
               example="M"),
        Column("becomes", Form.TEXT, "The right value, written as that file writes values; "
               "blank to empty it.", example="F"),
        Column("reason", Form.PROSE, "How it is known, and where the proof is.", True,
               example="Certificate seen; the home cannot change a closed case"),
        Column("decided_by", Form.TEXT, "Who answers for it.", True, example="compliance officer"),
        Column("expires_on", Form.DATE, "Last day on which it is applied.", True,
               example="2026-12-31", may_be_planned=True),
    ),
)  # fmt: skip
