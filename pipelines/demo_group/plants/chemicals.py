"""Plants of fluids, lots, counts and the air of the preparation rooms."""

from pipelines.demo_group.plants.changes import add_issue, at_profile, set_in, text
from pipelines.demo_group.plants.plant import Plant, found, silent

_EMBALMED = "p.is_done and p.is_embalmed and p.lay_place = 'CARE' and p.embalming_started > minutes_of('2026-07-15 00:00:00')"
_ARTERIAL = "movement_id = 'MV-{case}-1'"
_CAVITY = "movement_id = 'MV-{case}-3'"


def _sample(sample_id: str, **values: str) -> str:
    return set_in("air_samples", f"sample_id = '{sample_id}'", **values)


def _opening(lot: str, expires: str) -> str:
    """Two more bottles of cavity fluid in the opening stock, of a lot of their own."""
    return (
        "insert into supply_movements by name select replace(movement_id, 'CAV-24', 'CAV-24-') || "
        f"{text(lot)} as movement_id, * exclude (movement_id) replace ({text(lot)} as lot_number, {expires} as expires_date, "
        "'2' as quantity, (2 * 47317600)::bigint as amount) from supply_movements where movement_id = 'MV-OPEN-CARE-1-CAV-24'"
    )


def _again(movement_id: str, table: str) -> str:
    """One more row of the same document, -B."""
    return (
        f"insert into {table} by name select * replace (movement_id || '-B' as movement_id) "
        f"from {table} where movement_id = '{movement_id}'"
    )


def _count_less(movement_id: str, less: str) -> tuple[str, ...]:
    return (
        set_in(
            "stock_counts",
            f"movement_id = '{movement_id}'",
            quantity=f"(quantity::decimal(18, 4) - {less})::varchar",
        ),
    )


PLANTS: tuple[Plant, ...] = (
    found(
        "sample_over_limit",
        "A shift at 0.93 ppm, where 0.75 is the limit",
        case_number="",
        record_key="AS-CARE-2S-1",
        changes=(_sample("AS-CARE-2S-1", formaldehyde_ppm="'0.93'"),),
    ),
    found(
        "sample_over_limit",
        "Fifteen minutes at 2.4 ppm, where 2 is the limit",
        case_number="",
        record_key="AS-CARE-2P-1",
        changes=(_sample("AS-CARE-2P-1", formaldehyde_ppm="'2.4'"),),
    ),
    found(
        "sample_over_limit",
        "Half a day at each of two places by one worker, whose code is written in two ways: 0.925 ppm over the day",
        case_number="",
        record_key="AS-CARE-1S-1",
        changes=(
            _sample("AS-CARE-1S-1", formaldehyde_ppm="'0.95'", minutes="'240'", worker_code="'CA-S77'"),
            _sample(
                "AS-CEDAR-1P-1",
                formaldehyde_ppm="'0.9'",
                minutes="'240'",
                worker_code="'ca-s77'",
                started_at="left(started_at, 11) || '14:00' || substr(started_at, 17)",
            ),
        ),
    ),
    silent(
        "sample_over_limit",
        "Two samplers of one worker over the same hours, 0.45 ppm each",
        case_number="",
        record_key="AS-CEDAR-3S-1",
        changes=(
            _sample("AS-CEDAR-3S-1", formaldehyde_ppm="'0.45'"),
            set_in(
                "air_samples",
                "sample_id = 'AS-CEDAR-3P-1'",
                **{
                    column: f"(select {column} from air_samples where sample_id = 'AS-CEDAR-3S-1')"
                    for column in (
                        "started_at",
                        "minutes",
                        "formaldehyde_ppm",
                        "sample_kind",
                        "worker_code",
                    )
                },
            ),
        ),
    ),
    silent(
        "sample_over_limit",
        "72.8 minutes at 1.4 ppm: 0.212 ppm over eight hours",
        case_number="",
        record_key="AS-CARE-2T-1",
        changes=(_sample("AS-CARE-2T-1", formaldehyde_ppm="'1.4'", minutes="'72.8'"),),
    ),
    found(
        "sample_overdue",
        "At the action level on 10 May, none since",
        case_number="",
        record_key="AS-BIRCH-1S-1",
        only_small=True,
        changes=(
            "delete from air_samples where location_id = 'BIRCH' and sample_id not like 'AS-BIRCH-1_-1'",
            set_in(
                "air_samples",
                "location_id = 'BIRCH'",
                started_at="'2026-05-10' || substr(started_at, 11)",
            ),
            _sample("AS-BIRCH-1S-1", formaldehyde_ppm="'0.55'"),
        ),
    ),
    silent(
        "sample_overdue",
        "At the action level on 10 May, twice below it since",
        case_number="",
        record_key="AS-CEDAR-1S-1",
        changes=(
            _sample(
                "AS-CEDAR-1S-1",
                started_at="'2026-05-10' || substr(started_at, 11)",
                formaldehyde_ppm="'0.55'",
            ),
        ),
    ),
    found(
        "stock_short",
        "Two bottles fewer than the movements leave",
        case_number="",
        record_key="MV-COUNT-CARE-CAV-24-5",
        changes=_count_less("MV-COUNT-CARE-CAV-24-5", "946.352"),
        after_counts=True,
    ),
    found(
        "stock_short",
        "One casket fewer than the movements leave",
        case_number="",
        record_key="MV-COUNT-ALDER-CSK-02-5",
        changes=_count_less("MV-COUNT-ALDER-CSK-02-5", "1"),
        after_counts=True,
    ),
    silent(
        "stock_short",
        "An opened bottle judged by eye, 100 mL less",
        case_number="",
        record_key="MV-COUNT-BIRCH-CAV-24-5",
        changes=_count_less("MV-COUNT-BIRCH-CAV-24-5", "100"),
        after_counts=True,
    ),
    silent(
        "stock_short",
        "Two shelves of one count, five minutes apart",
        case_number="",
        record_key="MV-COUNT-CARE-ART-25-5",
        changes=(
            _again("MV-COUNT-CARE-ART-25-5", "stock_counts"),
            set_in(
                "stock_counts",
                "movement_id = 'MV-COUNT-CARE-ART-25-5'",
                quantity="(quantity::decimal(18, 4) - 946.352)::varchar",
            ),
            set_in(
                "stock_counts",
                "movement_id = 'MV-COUNT-CARE-ART-25-5-B'",
                occurred_at="moved(occurred_at, 5)",
                quantity="'946.352'",
            ),
        ),
        after_counts=True,
    ),
    found(
        "stock_over",
        "Two bottles more than the movements leave",
        case_number="",
        record_key="MV-COUNT-CEDAR-CAV-24-5",
        changes=_count_less("MV-COUNT-CEDAR-CAV-24-5", "-946.352"),
        after_counts=True,
    ),
    silent(
        "stock_over",
        "An opened bottle judged by eye, 100 mL more",
        case_number="",
        record_key="MV-COUNT-BIRCH-ART-25-5",
        changes=_count_less("MV-COUNT-BIRCH-ART-25-5", "-100"),
        after_counts=True,
    ),
    found(
        "sent_not_arrived",
        "Two bottles of disinfectant sent, one arrived",
        case_number="",
        record_key="MV-sent-2608-1",
        changes=(
            set_in(
                "supply_movements",
                "movement_id = 'MV-arrived-2608-1'",
                quantity="'1'",
                amount="47317600",
            ),
        ),
    ),
    silent(
        "sent_not_arrived",
        "Two bottles of disinfectant that arrive one by one",
        case_number="",
        record_key="MV-sent-2609-1",
        changes=(
            set_in(
                "supply_movements",
                "movement_id = 'MV-arrived-2609-1'",
                quantity="'1'",
                amount="47317600",
            ),
            _again("MV-arrived-2609-1", "supply_movements"),
            set_in(
                "supply_movements",
                "movement_id = 'MV-arrived-2609-1-B'",
                occurred_at="moved(occurred_at, 1440)",
                sort_minute="sort_minute + 1440",
            ),
        ),
    ),
    found(
        "lot_unknown",
        "A lot that never came in",
        where=_EMBALMED,
        record_key="MV-{case}-1",
        changes=(set_in("supply_movements", _ARTERIAL, lot_number="'ART-9999'"),),
    ),
    silent(
        "lot_unknown",
        "A lot of the opening stock",
        record_key="MV-{case}-1",
        where="p.is_done and p.is_embalmed and p.embalming_started < minutes_of('2026-06-03 00:00:00')",
    ),
    found(
        "lot_expired",
        "Cavity fluid used after its last day",
        where=_EMBALMED,
        record_key="MV-{case}-3",
        changes=(
            _opening("CAV24-OLD", "'2026-06-30'"),
            set_in("supply_movements", _CAVITY, lot_number="'CAV24-OLD'"),
        ),
    ),
    found(
        "lot_expired",
        "Cavity fluid used after the last day that its receipt has; the issue says a year more",
        where=_EMBALMED,
        record_key="MV-{case}-3",
        changes=(
            _opening("CAV24-LATE", "'2026-06-30'"),
            set_in(
                "supply_movements", _CAVITY, lot_number="'CAV24-LATE'", expires_date="'2027-06-30'"
            ),
        ),
    ),
    silent(
        "lot_expired",
        "Cavity fluid used on its last day",
        where=_EMBALMED,
        record_key="MV-{case}-3",
        changes=(
            _opening(
                "CAV24-EDGE",
                "(select left(occurred_at, 10) from supply_movements where movement_id = 'MV-{case}-3')",
            ),
            set_in("supply_movements", _CAVITY, lot_number="'CAV24-EDGE'"),
        ),
    ),
    found(
        "fluid_not_counted",
        "A cavity fluid without an index in the list of items",
        # In a week that the page still shows.
        where=_EMBALMED + " and p.embalming_started > minutes_of('2026-09-07 00:00:00')",
        case_number="",
        record_key="MV-{case}-41",
        changes=(
            set_in(
                "supply_items",
                "item_code = 'SUP-05'",
                item_kind="'cavity_fluid'",
                description="'Cavity fluid of another maker, 16 fl oz bottle'",
            ),
            add_issue(41, "issued", "SUP-05", "'CARE'", 240, "1"),
        ),
    ),
    silent(
        "fluid_not_counted",
        "A dye, which has no index and no formaldehyde",
        where=_EMBALMED
        + " and exists (select 1 from supply_movements where movement_id = 'MV-' || p.case_number || '-2')",
        record_key="MV-{case}-2",
    ),
    found(
        "returned_not_issued",
        "Four bottles of cavity fluid returned of the two that were issued",
        where=_EMBALMED,
        record_key="MV-{case}-42",
        changes=(add_issue(42, "returned", "CAV-24", "'CARE'", 3000, "4"),),
    ),
    silent(
        "returned_not_issued",
        "A bottle of cavity fluid more, issued and returned whole",
        where=_EMBALMED,
        record_key="MV-{case}-42",
        changes=(
            add_issue(41, "issued", "CAV-24", "'CARE'", 300, "1"),
            add_issue(42, "returned", "CAV-24", "'CARE'", 3000, "1"),
        ),
    ),
    found(
        "fluid_out_of_care",
        "Cavity fluid issued sixty days after the embalming, long after the burial",
        where=_EMBALMED
        + " and p.ending = 'burial' and p.embalming_started < minutes_of('2026-09-01 00:00:00')",
        record_key="MV-{case}-3",
        changes=(
            set_in(
                "supply_movements",
                _CAVITY,
                occurred_at="moved(occurred_at, 86400)",
                sort_minute="sort_minute + 86400",
            ),
        ),
    ),
    silent(
        "fluid_out_of_care",
        "Cavity fluid written down five hours after the burial",
        where=_EMBALMED + " and p.ending = 'burial'",
        record_key="MV-{case}-3",
        changes=(
            set_in(
                "supply_movements",
                _CAVITY,
                occurred_at=at_profile("act", 300),
                sort_minute="(select act + 300 from profiles where case_number = '{case}')",
            ),
        ),
    ),
    found(
        "solution_unusual",
        "A volume four times the right one",
        where=_EMBALMED,
        record_key="MV-{case}-1",
        changes=(
            set_in(
                "supply_movements",
                _ARTERIAL,
                mixed_volume_ml="(mixed_volume_ml::integer * 4)::varchar",
            ),
        ),
    ),
    silent(
        "solution_unusual",
        "The two bottles of one tank written down two minutes apart, each with the volume of the tank",
        where=_EMBALMED,
        record_key="MV-{case}-1",
        changes=(
            "insert into supply_movements by name select * replace ('MV-{case}-42' as movement_id, "
            "moved(occurred_at, 2) as occurred_at, sort_minute + 2 as sort_minute, '300' as quantity, 'ml' as unit, "
            f"30000000::bigint as amount) from supply_movements where {_ARTERIAL}",
            set_in(
                "supply_movements", _ARTERIAL, quantity="'300'", unit="'ml'", amount="30000000"
            ),
            set_in(
                "supply_movements",
                "movement_id in ('MV-{case}-1', 'MV-{case}-42')",
                # One bottle alone would be weak.
                mixed_volume_ml="'12000'",
            ),
        ),
    ),
    silent(
        "solution_unusual",
        "A strong solution, up to 3.6 g per 100 mL",
        where=_EMBALMED + " and not p.is_autopsied",
        record_key="MV-{case}-1",
        changes=(
            set_in(
                "supply_movements",
                _ARTERIAL,
                mixed_volume_ml="(mixed_volume_ml::integer * 64 // 100)::varchar",
            ),
        ),
    ),
)
