with spans as (
    select
        *,
        sum(case when people > capacity then 0 else 1 end) over (
            partition by location_id order by changed_at rows between unbounded preceding and current row
        ) as span_number
    from {{ ref("int_place_levels") }}
    where capacity is not null
),

over_spans as (
    select
        location_id,
        capacity,
        span_number,
        min(changed_at) as over_from_at,
        max(until_at) as over_until_at,
        max(people) as peak
    from spans
    where people > capacity
    group by location_id, capacity, span_number
),

present as (
    select
        over_spans.location_id,
        over_spans.over_from_at,
        {{ list_text("stays.case_number") }} as case_numbers
    from over_spans
    inner join {{ ref("int_place_stays") }} as stays
        on
            over_spans.location_id = stays.location_id
            and over_spans.over_from_at >= stays.in_at
            and coalesce(over_spans.over_from_at < stays.out_at, true)
    group by over_spans.location_id, over_spans.over_from_at
),

arrivals as (
    select
        location_id,
        case_number,
        in_at,
        time_zone,
        file_id,
        line,
        row_number() over (partition by location_id, in_at order by case_number) as arrival_number
    from {{ ref("int_place_stays") }}
)

select
    {{ finding(
        "over_capacity",
        case_number="null",
        location_id="over_spans.location_id",
        occurred_at="over_spans.over_from_at",
        a="arrivals", feed_a="custody_events",
        measured_value="over_spans.peak",
        limit_value="over_spans.capacity",
        value_unit="people",
        detail="'Up to ' || cast(over_spans.peak as varchar) || ' people in room for '"
            ~ " || cast(over_spans.capacity as varchar) || ' from ' || "
            ~ minute_text(local_time("over_spans.over_from_at", "arrivals.time_zone")) ~ " || ' to ' || "
            ~ minute_text(local_time("over_spans.over_until_at", "arrivals.time_zone"))
            ~ " || '; there as it began: ' || present.case_numbers || '.'"
    ) }}
from over_spans
inner join arrivals
    on
        over_spans.location_id = arrivals.location_id
        and over_spans.over_from_at = arrivals.in_at
        and arrivals.arrival_number = 1
inner join present
    on over_spans.location_id = present.location_id and over_spans.over_from_at = present.over_from_at
