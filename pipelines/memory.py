"""How much memory the database may use before it spills to disk."""

import os
import re

_GIB = 1 << 30
#: What the contracts need comes on top: at 30 million custody events reading, judging and the
#: models took 9.1 GiB in all with this.
_MOST, _LEAST = 6 * _GIB, 1 * _GIB


def memory_limit(shares: int = 1) -> str:
    """``LEDGERSTONE_MEMORY_LIMIT`` (such as ``2GB``), else a third of this machine's memory,
    between 1 and 6 GiB. Where ``shares`` processes divide it: the part of one."""
    given = os.environ.get("LEDGERSTONE_MEMORY_LIMIT")
    if given:
        amount = re.fullmatch(r"\s*([0-9.]+)\s*([A-Za-z]+|%)\s*", given)
        return f"{float(amount[1]) / shares:g}{amount[2]}" if amount and shares > 1 else given
    try:
        whole = os.sysconf("SC_PHYS_PAGES") * os.sysconf("SC_PAGE_SIZE")
    except (ValueError, OSError, AttributeError):
        whole = _MOST
    return f"{max(_LEAST, min(_MOST, whole // 3)) // shares // (1 << 20)}MiB"
