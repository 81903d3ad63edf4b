"""What the linter sees in place of dbt's adapter: a call of the same name and arguments."""

from collections.abc import Callable


def dispatch(name: str, _package: str) -> Callable[..., str]:
    if name == "type_double":
        return lambda: "double"
    if name == "carried_forward":
        return lambda expression, window, *_: f"last_value({expression}) over ({window})"
    return lambda *arguments: f"{name}({', '.join(str(a) for a in arguments)})"
