"""dbt when nobody listens to its events and nobody reads its files of SQL: making both took a fifth
of the time of a small build."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from dbt.contracts.graph.nodes import ParsedNode
from dbt_common.events.base_types import BaseEvent, EventLevel
from dbt_common.events.event_manager import EventManager
from dbt_common.events.event_manager_client import ctx_set_event_manager, get_event_manager

_TOLD = {EventLevel.WARN, EventLevel.ERROR}
_fill_event = BaseEvent.__init__


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


def _fill_told(event: BaseEvent, *args: Any, **values: Any) -> None:
    """An event is filled with its values where it may be told; the others stay empty."""
    if event.level_tag() in _TOLD:
        _fill_event(event, *args, **values)
    else:
        event.pb_msg = getattr(event.PROTO_TYPES_MODULE, type(event).__name__)()


def _keep_sql(_node: ParsedNode, _root: str, _path: str, _sql: str) -> None:
    """The SQL of a node stays on the node, whence a failing check tells it: no file of it."""


@contextmanager
def quiet_build() -> Iterator[None]:
    """dbt calls inside, which must be without a logger, make no messages and no files of SQL."""
    before = get_event_manager()
    ctx_set_event_manager(_WarningsOnly())
    try:
        with (
            _replaced(BaseEvent, "__init__", _fill_told),
            _replaced(ParsedNode, "write_node", _keep_sql),
        ):
            yield
    finally:
        ctx_set_event_manager(before)


@contextmanager
def _replaced(owner: type, name: str, by: Callable[..., None]) -> Iterator[None]:
    before = getattr(owner, name)
    setattr(owner, name, by)
    try:
        yield
    finally:
        setattr(owner, name, before)
