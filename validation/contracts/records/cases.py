"""Cases: an identity or its declared absence, and dates that can stand together."""

import polars as pl

from validation.contracts.records.rule import FeedRules, RecordRule

#: Given and family name together that stand for nobody. HL7 vital-records guides: placeholder names
#: are not reported. A family may be called Doe: only the whole pair is refused.
PLACEHOLDER = (
    r"(john|jane|johnny|janie|baby|richard|mary|male|female|unknown) (doe|roe)( \d+)?"
    r"|(john|jane) q\.? public"
    r"|(unknown|unidentified|unnamed|no name|name unknown|not known)"
    r"( (unknown|unidentified|unnamed|name|person|male|female|man|woman|body|baby|child))*"
)
#: Years. Nobody is known to have lived as long; common practice, no source.
_LONGEST_LIFE = 130
_FULL_NAME = "lower(trim(concat_ws(' ', r.given_name, r.family_name)))"

RULES = FeedRules(
    rules=(
        RecordRule("placeholder_name", "family_name", ~pl.col("is_placeholder")),
        RecordRule(
            "name_missing",
            "family_name",
            pl.col("is_unidentified").fill_null(False)
            | pl.col("family_name").is_not_null()
            | pl.col("given_name").is_not_null(),
        ),
        RecordRule(
            "death_after_call",
            "date_of_death",
            pl.col("date_of_death_earliest") <= pl.col("first_call_at_local").dt.date(),
            "'The first call came on ' || strftime(r.first_call_at_local, '%Y-%m-%d') || '.'",
        ),
        RecordRule(
            "birth_impossible",
            "date_of_birth",
            (pl.col("date_of_birth_earliest") <= pl.col("date_of_death_latest"))
            & (
                pl.col("date_of_birth_latest")
                >= pl.col("date_of_death_earliest").dt.offset_by(f"-{_LONGEST_LIFE}y")
            ),
            "'The date of death is ' || r.date_of_death || '.'",
        ),
        RecordRule(
            "closed_before_call",
            "closed_at",
            pl.col("closed_at") >= pl.col("first_call_at"),
            "'The first call came at ' || strftime(r.first_call_at, '%Y-%m-%d %H:%M') || ' UTC.'",
        ),
        RecordRule(
            "closed_without_instant",
            "closed_at",
            (pl.col("case_status") != "closed") | pl.col("closed_at").is_not_null(),
        ),
    ),
    helpers={
        "is_placeholder": f"coalesce(regexp_full_match({_FULL_NAME}, '{PLACEHOLDER}'), false)"
    },
)
