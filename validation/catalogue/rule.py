"""What a rule of the catalogue is."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum


class Severity(StrEnum):
    """How much is at stake, in words."""

    CRITICAL = "critical"
    MAJOR = "major"
    MINOR = "minor"
    INFO = "info"


class Effect(StrEnum):
    """What the rule does: keep a record out of ``accepted``, report what trusted ones show, or note
    what is worth a look and changes nothing."""

    HELD_BACK = "held_back"
    REPORTED = "reported"
    NOTED = "noted"


#: When a reject or finding of that severity must be acted on.
ACT_WITHIN: Mapping[Severity, str] = {
    Severity.CRITICAL: "now",
    Severity.MAJOR: "same day",
    Severity.MINOR: "the week",
    Severity.INFO: "none",
}


@dataclass(frozen=True)
class Edit:
    """One change to the lawful chain of ``examples/lawful_chain.toml``.

    ``step`` names the event: ``drop`` takes it out, ``change`` sets its columns. A step that the
    chain does not have is added, with ``change`` as its columns.
    """

    step: str
    drop: bool = False
    change: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Example:
    """Records that show the rule at work, written as they would stand in a file.

    ``records`` are changes to the declared example of each column of ``feed``; ``raw`` is a whole
    file instead; ``chain`` are edits of the lawful chain and ``case`` changes to its case.
    ``column`` is the column, ``step`` the event of the chain that the reject must name.
    """

    feed: str
    records: tuple[Mapping[str, str], ...] = ()
    raw: str | None = None
    chain: tuple[Edit, ...] | None = None
    case: Mapping[str, str] = field(default_factory=dict)
    column: str | None = None
    step: str | None = None


@dataclass(frozen=True)
class Rule:
    """One rule: what it says to a clerk, how to mend it, who mends it, and where it is from.

    ``needs`` are (feed, column) pairs without which the rule is *not checked*. What a rule
    ``is_dated_by_day`` finds has the day of a document, which stands as its midnight, and no clock.
    A rule that holds back or notes has an accepting and a rejecting example; a reported one has its
    lawful ``twin`` in words.
    """

    code: str
    family: str
    severity: Severity
    effect: Effect
    says: str
    mend: str
    mended_by: str
    act_within: str
    source: str
    citation: str | None
    needs: tuple[tuple[str, str], ...]
    is_dated_by_day: bool
    twin: str | None
    accepts: Example | None
    rejects: Example | None

    @property
    def model(self) -> str | None:
        """The dbt model that finds it; none for a rule that judges records."""
        return f"finding_{self.code}" if self.effect is Effect.REPORTED else None
