"""The demo group: a scenario of our own, made to any size.

It has planted faults, their lawful twins, and the answer key that says which is which.
"""

from pipelines.demo_group.drop import EXPORT_DATE, LARGEST, TILE, Drop, generate

__all__ = ["EXPORT_DATE", "LARGEST", "TILE", "Drop", "generate"]
