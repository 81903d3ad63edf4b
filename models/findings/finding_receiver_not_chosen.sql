{#
    Kinds of party to whom each instruction may lead; a medical examiner may call for anybody, and whoever is named for
    somebody who leaves the state may be a cemetery there.
#}
{% set receivers = {
    "bury": ("cemetery", "funeral_home", "carrier", "family"),
    "entomb": ("cemetery", "funeral_home", "carrier", "family"),
    "cremate_collect": ("crematory", "funeral_home", "carrier"),
    "cremate_scatter": ("crematory", "funeral_home", "carrier"),
    "cremate_inter": ("crematory", "funeral_home", "carrier"),
    "donate": ("institution", "carrier"),
    "ship": ("carrier", "funeral_home"),
} %}

with releases as (
    select
        events.case_number,
        events.event_number,
        events.event_id,
        events.occurred_at,
        events.occurred_at_local,
        records.to_party,
        split_part(records.to_party, ':', 1) as receiver_kind,
        cases.location_id,
        cases.disposition_instruction,
        cases.named_receiver,
        cases.case_status = 'cancelled' or cases.is_trade_call as is_others_choice,
        events.is_held or cases.is_held as is_held,
        events.file_id,
        events.line,
        cases.file_id as case_file_id,
        cases.line as case_line
    from {{ ref("int_custody_events") }} as events
    inner join {{ ref("stg_custody_events") }} as records
        on events.file_id = records.file_id and events.line = records.line
    inner join {{ ref("int_cases") }} as cases
        on events.case_number = cases.case_number
    where events.action = 'released' and records.action = 'released' and not events.is_after_end
)

select
    {{ finding(
        "receiver_not_chosen",
        case_number="releases.case_number",
        location_id="releases.location_id",
        occurred_at="releases.occurred_at",
        a="releases", feed_a="custody_events",
        b="releases", feed_b="cases", file_id_b="case_file_id", line_b="case_line",
        detail="'Released to ' || releases.to_party || ' at ' || "
            ~ minute_text("releases.occurred_at_local") ~ " || ' (event ' || releases.event_id || ')'"
            ~ " || '; the instruction is ' || coalesce(replace(releases.disposition_instruction, '_', ' '), 'not given') || '.' || "
            ~ held_back_note("releases.is_held")
    ) }}
from releases
where
    releases.to_party is not null
    and releases.receiver_kind <> 'medical_examiner'
    and not coalesce(
        releases.disposition_instruction = 'ship' and lower(releases.to_party) = lower(releases.named_receiver), false
    )
    -- The family may drive the person to the crematory that is named.
    and not coalesce(
        releases.disposition_instruction like 'cremate%'
        and releases.receiver_kind = 'family'
        and releases.named_receiver like 'crematory:%',
        false
    )
    and case
        {%- for instruction, kinds in receivers.items() %}
        when releases.disposition_instruction = '{{ instruction }}'
            then releases.receiver_kind not in {{ kinds }}
        {%- endfor %}
        else not releases.is_others_choice
    end
