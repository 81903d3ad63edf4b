"""Pages say no more than the records do."""

from tests.reports.conftest import Site


def test_the_running_week_has_not_ended(small: Site) -> None:
    titles = {page.path.name: page.title.text for page in small.pages
              if page.path.parent.name == "custody"}  # fmt: skip
    assert titles["2026-W47.html"].endswith("in the week of 16 November 2026 (2026-W47) so far")
    assert titles["2026-W46.html"].endswith("when the week of 9 November 2026 (2026-W46) ended")
