"""What dbt says a page stands on is what the page says."""

from reports.discover import pages
from tests.models.conftest import EmptyBuild


def test_every_page_is_an_exposure_of_the_tables_it_reads(empty_build: EmptyBuild) -> None:
    exposed = {
        exposure["name"]: {
            ".".join(node.split(".")[-2:]) if node.startswith("source.")
            else f"marts.{node.split('.')[-1]}"
            for node in exposure["depends_on"]["nodes"]
        }
        for exposure in empty_build.manifest["exposures"].values()
    }  # fmt: skip
    assert exposed == {found.page.slug: set(found.page.marts) for found in pages()}
