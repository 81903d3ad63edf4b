"""Planted faults."""
def plant_all(con): pass
def plant_counts(con): pass
def raw_lines(): return []
