"""What a reader decided about a finding: it stays on the record, and comes back when it ends."""

from pipelines.feeds.declare import Column, Feed, Form

FEED = Feed(
    name="finding_answers",
    family="decisions",
    meaning="What a reader decided about a finding. Each file holds all answers that are in force: "
    "what a newer one leaves out is withdrawn.",
    grain="One row per finding.",
    is_whole=True,
    key=("finding_number",),
    columns=(
        Column("finding_number", Form.COUNT, "Number of the finding, as the pages print it.", True,
               example="12"),
        Column("decision", Form.CODE, "What was decided.", True,
               allowed=("explained", "accepted", "being_mended"), example="explained"),
        Column("decided_by", Form.TEXT, "Who answers for it.", True, example="compliance officer"),
        Column("decided_on", Form.DATE, "When.", True, example="2026-11-16"),
        Column("reason", Form.PROSE, "What was looked at, and where the proof is.", True,
               example="Permit seen on paper; number entered late"),
        Column("expires_on", Form.DATE, "Last day on which the answer stands.", True,
               example="2026-12-31", may_be_planned=True),
    ),
)  # fmt: skip
