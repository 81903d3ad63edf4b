"""Static pages by audience, made from the marts of a warehouse.

``publish`` makes and shows them; ``prepared`` makes them, lets the caller do its own last steps,
and shows them when these went well.
"""

from reports.document import PublishedPage
from reports.publish import prepared, publish, publish_sheet
from reports.swap import SiteNotWritable
from reports.warehouse import WarehouseNotReadable

__all__ = [
    "PublishedPage",
    "SiteNotWritable",
    "WarehouseNotReadable",
    "prepared",
    "publish",
    "publish_sheet",
]
