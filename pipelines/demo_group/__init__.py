"""The demo group: a scenario of our own, made to any size, with planted faults and their answer key."""

from pipelines.demo_group.drop import EXPORT_DATE, LARGEST, TILE, Drop, generate

__all__ = ["EXPORT_DATE", "LARGEST", "TILE", "Drop", "generate"]
