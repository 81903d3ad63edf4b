"""SQL of the usual changes. Values are SQL expressions; ``{case}`` and its kin are filled in later."""


def text(value: str) -> str:
    """An SQL text literal."""
    return "'" + value.replace("'", "''") + "'"


def set_in(table: str, where: str, **values: str) -> str:
    """Change columns of the rows of a feed table."""
    pairs = ", ".join(f"{name} = {value}" for name, value in values.items())
    return f"update {table} set {pairs} where {where}"


def set_case(**values: str) -> str:
    """Change the case."""
    return set_in("cases", "case_number = '{case}'", **values)


def set_event(step: int, of: str = "{case}", **values: str) -> str:
    """Change the case's event of that step."""
    return set_in("custody_events", f"event_id = '{of}-{step}'", **values)


def move_event(step: int, minutes: str, of: str = "{case}") -> str:
    """Move an event and its recording by minutes (an SQL expression)."""
    return set_event(
        step,
        of,
        occurred_at=f"moved(occurred_at, {minutes})",
        recorded_at=f"moved(recorded_at, {minutes})",
        sort_minute=f"sort_minute + ({minutes})",
    )


def drop_events(steps: str, of: str = "{case}") -> str:
    """Delete the case's events whose step fulfils ``steps`` (SQL over ``sort_step``)."""
    return f"delete from custody_events where case_number = '{of}' and ({steps})"


def add_event(step: int, after: int, minutes: int, action: str, **values: str) -> str:
    """Add an event some minutes after another of the case, recorded ten minutes later."""
    columns = {
        "event_id": f"'{{case}}-{step}'",
        "case_number": "'{case}'",
        "occurred_at": f"moved(occurred_at, {minutes})",
        "recorded_at": f"moved(occurred_at, {minutes + 10})",
        "action": text(action),
        "performed_by": "performed_by",
        "sort_minute": f"sort_minute + {minutes}",
        "sort_step": str(step),
        **values,
    }
    selected = ", ".join(f"{value} as {name}" for name, value in columns.items())
    return (
        f"insert into custody_events by name select {selected} from custody_events "
        f"where event_id = '{{case}}-{after}'"
    )


def usage(place: str, item_code: str, week: int) -> str:
    """A weekly issue to no case, after the last count: 114 on 4 November, 115 on 11 November."""
    return f"MV-{place}-1-{item_code}-{week}"


def band() -> str:
    """The band of the case."""
    return "(select band_number from profiles where case_number = '{case}')"


def of_case(column: str, case: str = "{case}") -> str:
    """A column of the case's profile."""
    return f"(select {column} from profiles where case_number = '{case}')"


def at_profile(column: str, minutes: int) -> str:
    """The text of the instant some minutes from a profile's instant."""
    return f"(select instant_text({column} + ({minutes}), zone) from profiles where case_number = '{{case}}')"


def day_of_profile(column: str, days: int) -> str:
    return f"(select date_text(local_date({column}, zone) + ({days})) from profiles where case_number = '{{case}}')"


def add_line(
    document: str,
    number: int,
    item_code: str,
    category: str,
    description: str,
    quantity: str,
    unit_price: str,
    line_total: str,
    **values: str,
) -> str:
    """Add a line to a document of the case (the prefix E, I, J, K or C names its kind)."""
    kind = {"E": "estimate", "C": "credit"}.get(document, "invoice")
    like = "E" if document == "E" else "I"
    columns = {
        "document_number": f"'{document}-{{case}}'",
        "line_number": f"'{number}'",
        "document_kind": text(kind),
        "case_number": "'{case}'",
        "location_id": "any_value(location_id)",
        "document_date": "any_value(document_date)",
        "item_code": text(item_code),
        "category": text(category),
        "description": text(description),
        "quantity": text(quantity),
        "unit_price": text(unit_price),
        "line_total": text(line_total),
        "is_required": "'N'",
        "is_cash_advance": "'N'",
        "corrects_document": "'I-{case}'" if kind == "credit" else "null::varchar",
        "sort_minute": "any_value(sort_minute)",
        **values,
    }
    selected = ", ".join(f"{value} as {name}" for name, value in columns.items())
    return (
        f"insert into statement_lines by name select {selected} from statement_lines "
        f"where document_number = '{like}-{{case}}'"
    )


def reprice(documents: str, item_code: str, cents: int) -> str:
    """Change the unit price of an item of the case by cents, its total with it.

    ``documents``: letters of the kinds, such as ``EI``.
    """
    kinds = ", ".join(f"'{kind}-{{case}}'" for kind in documents)
    price = f"(unit_price::decimal(18, 2) + {cents / 100:.2f})"
    return set_in(
        "statement_lines",
        f"document_number in ({kinds}) and item_code = '{item_code}'",
        unit_price=f"{price}::decimal(18, 2)::varchar",
        line_total=f"({price} * quantity::decimal(18, 0))::decimal(18, 2)::varchar",
    )


def add_issue(
    number: int, kind: str, item_code: str, place: str, minutes: int, pieces: str, **values: str
) -> str:
    """Add a movement of the case, minutes after the person was refrigerated, to or from stock.

    ``pieces`` is an SQL number of pieces or bottles.
    """
    one = f"(select coalesce(content, 100000) from stock_items where item_code = '{item_code}')"
    columns = {
        "movement_id": f"'MV-{{case}}-{number}'",
        "occurred_at": f"instant_text(refrigerated + {minutes}, zone_of({place}))",
        "location_id": place,
        "item_code": text(item_code),
        "movement_kind": text(kind),
        "quantity": f"({pieces})::varchar",
        "unit": "'each'",
        "case_number": "'{case}'",
        "recorded_by": "'CA-S2'",
        "sort_minute": f"refrigerated + {minutes}",
        "amount": f"(({pieces}) * {one})::bigint",
        **values,
    }
    selected = ", ".join(f"{value} as {name}" for name, value in columns.items())
    return (
        f"insert into supply_movements by name select {selected} from profiles "
        "where case_number = '{case}'"
    )


def line_key(document: str, item_code: str) -> str:
    """Record key of the case's statement line of that item, as a subquery."""
    return (
        "(select document_number || '|' || line_number from statement_lines "
        f"where document_number = '{document}-{{case}}' and item_code = '{item_code}')"
    )
