-- A witnessed cremation may begin within the hour of its time. A funeral may be held with the urn; a service at the
-- grave is at the burial.
with acts as (
    {{ first_acts() }}
)

select
    {{ finding(
        "act_before_service",
        case_number="acts.case_number",
        location_id="cases.location_id",
        occurred_at="acts.occurred_at",
        a="acts", feed_a="custody_events",
        b="cases", feed_b="cases",
        measured_value=elapsed_hours("acts.occurred_at", "cases.service_at"),
        value_unit="hours",
        detail=act_sentence("acts") ~ " || '; the ' || replace(cases.service_kind, '_', ' ') || ' was to be at ' || "
            ~ minute_text(local_time("cases.service_at", "cases.time_zone")) ~ " || '.' || "
            ~ held_back_note("acts.is_held or cases.is_held")
    ) }}
from acts
inner join {{ ref("int_cases") }} as cases
    on acts.case_number = cases.case_number
where
    case
        when cases.service_kind = 'viewing' then cases.service_at > acts.occurred_at
        when cases.service_kind = 'witness_cremation'
            then
                acts.action in ('cremation_started', 'cremation_finished')
                and cases.service_at > {{ add_hours("acts.occurred_at", 1) }}
        else false
    end
