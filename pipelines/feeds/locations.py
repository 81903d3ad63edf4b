"""The group's places."""

from pipelines.feeds.declare import Column, Feed, Form

LOCATION_KINDS = ("funeral_home", "care_centre", "crematory")

FEED = Feed(
    name="locations",
    family="places",
    order=10,
    meaning="The group's funeral homes, care centre and crematory.",
    grain="One row per location.",
    key=("location_id",),
    is_required=True,
    columns=(
        Column("location_id", Form.IDENTIFIER, "The group's code of the place.", True,
               example="ALDER"),
        Column("location_name", Form.TEXT, "Name of the place.", True,
               example="Alder Street Home"),
        Column("location_kind", Form.CODE, "What the place is.", True,
               allowed=LOCATION_KINDS, example="funeral_home"),
        Column("time_zone", Form.TEXT, "Zone of its clocks.", True, source="IANA zone database",
               example="America/Chicago"),
        Column("jurisdiction", Form.IDENTIFIER, "Whose law applies there.", True,
               source="ISO 3166-2", example="US-TX"),
        Column("address", Form.PROSE, "Postal address.", example="12 Alder Street"),
        Column("telephone", Form.TEXT, "Telephone number.", example="+1 555 0100"),
        Column("capacity", Form.COUNT, "How many people it can hold at once.", unit="people",
               example="12", minimum=0),
        Column("uncooled_units", Form.CODES,
               "Storage units that are not refrigerated, each whole or as its name begins; "
               "every other one counts as cold.", example="CARE-PREP;CARE-VIEW"),
        Column("opened_date", Form.DATE, "First day in use.", example="2004-03-01",
               may_be_planned=True),
        Column("closed_date", Form.DATE, "Last day in use.", may_be_planned=True),
    ),
)  # fmt: skip
