"""Start pages: each reader's questions answered as a list of page titles, most urgent first."""

from reports import words
from reports.audiences import PUBLIC, Audience
from reports.content import Content, Links, Section
from reports.discover import FoundPage
from reports.marks import NEEDS_ACTION, RANK, Mark, worst
from reports.titles import Fact, Title, say


def start_page(audience: Audience, built: list[tuple[FoundPage, Content]]) -> Content:
    """The audience's first page."""
    ranked = sorted(built, key=lambda pair: (RANK[pair[1].urgency], pair[0].page.order))
    items = tuple(
        (f"{found.page.slug}.html", content.title.text, _shown(audience, content))
        for found, content in ranked
    )
    marks = [content.urgency for _, content in built]
    leads = tuple(content.lead for _, content in built if content.lead)
    return Content(
        _title(audience, marks),
        audience.question,
        worst(marks),
        (*leads, Section("Answers", (Links(items),))),
        cautions=tuple(c for _, content in built if content.lead for c in content.cautions[:1]),
    )


def _shown(audience: Audience, content: Content) -> Mark | None:
    return None if audience is PUBLIC else content.urgency


def _title(audience: Audience, marks: list[Mark]) -> Title:
    if audience is PUBLIC:
        return say("Price lists in force")
    urgent = sum(mark in NEEDS_ACTION for mark in marks)
    if not urgent:
        return say(
            "{reader}: none of {all} pages needs action",
            reader=audience.reader,
            all=Fact(words.number(len(marks)), len(marks), ""),
        )
    return say(
        "{reader}: {some} of {all} pages " + ("needs" if urgent == 1 else "need") + " action",
        reader=audience.reader,
        some=Fact(words.number(urgent), urgent, ""),
        all=Fact(words.number(len(marks)), len(marks), ""),
    )


def group_start(starts: list[tuple[Audience, Content]]) -> Content:
    """The page that links the audiences' folders; each folder works without it."""
    items = tuple(
        (
            f"{audience.slug}/index.html",
            content.title.text,
            None if audience is PUBLIC else content.urgency,
        )
        for audience, content in starts
    )
    return Content(
        say("Four readers and the public price lists, one warehouse"),
        "Each folder is complete in itself and can be handed out without the others.",
        worst([content.urgency for audience, content in starts if audience is not PUBLIC]),
        (Section("Readers", (Links(items),)),),
    )
