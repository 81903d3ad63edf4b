"""dbt's events when nobody listens: not made into messages, which took a tenth of its time."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from dbt_common.events.base_types import BaseEvent, EventLevel
from dbt_common.events.event_manager import EventManager
from dbt_common.events.event_manager_client import ctx_set_event_manager, get_event_manager


class _WarningsOnly(EventManager):
    """Passes on the warnings that a flag may turn into errors, and no other event.

    With ``--log-level none`` only dbt's usage report would get the others, and it is off.
    """

    def fire_event(
        self,
        e: BaseEvent,
        level: EventLevel | None = None,
        node: Any = None,
        force_warn_or_error_handling: bool = False,
    ) -> None:
        if force_warn_or_error_handling or self.require_warn_or_error_handling:
            super().fire_event(e, level, node, force_warn_or_error_handling)


@contextmanager
def silent_events() -> Iterator[None]:
    """dbt calls inside, which must be without a logger, make no messages."""
    before = get_event_manager()
    ctx_set_event_manager(_WarningsOnly())
    try:
        yield
    finally:
        ctx_set_event_manager(before)
