{# Words of the custody record. The lists are the feed's actions (pipelines/feeds). #}

{# Actions that end a person's way: after them only the cremated remains have one. #}
{% macro final_actions() -%}
    ('cremation_finished', 'buried', 'entombed', 'released')
{%- endmacro %}

{#
    Actions that only happen to somebody in our care: a record of one says so, also where the
    receipt that should open the chain is missing.
#}
{% macro in_care_actions() -%}
    (
        'received', 'departed', 'arrived', 'transferred', 'stored', 'taken_out', 'refrigerated', 'viewed',
        'embalming_started', 'embalming_finished', 'cremation_started', 'cremation_finished', 'buried',
        'entombed', 'released'
    )
{%- endmacro %}

{#
    Acts that cannot be undone: the papers come before them. An export that lost the start of an act tells of it by its
    end: whatever was not there by then was not there before.
#}
{% macro irreversible_actions() -%}
    ('cremation_started', 'cremation_finished', 'buried', 'entombed')
{%- endmacro %}

{# What tells of an embalming. #}
{% macro embalming_actions() -%}
    ('embalming_started', 'embalming_finished')
{%- endmacro %}

{# What an event is of: start and end are of one act, whose first event counts. #}
{% macro act_of(action) -%}
    case
        when {{ action }} in ('cremation_started', 'cremation_finished', 'remains_received') then 'cremation'
        when {{ action }} in {{ embalming_actions() }} then 'embalming'
        else {{ action }}
    end
{%- endmacro %}

{# Actions that may stand before `received`: they happen at the place of death. #}
{% macro opening_actions() -%}
    ('band_attached', 'identity_checked', 'effects_listed', 'hold_placed', 'hold_lifted')
{%- endmacro %}

{# Actions on cremated remains: each carries the disc's number. #}
{% macro remains_actions() -%}
    ('remains_packed', 'remains_received', 'remains_released', 'remains_scattered')
{%- endmacro %}

{# What may come after the end and is of the person's belongings or papers. #}
{% macro aside_actions() -%}
    ('effects_listed', 'effects_returned', 'reviewed')
{%- endmacro %}

{#
    How cremated remains are kept: once there are remains, such an event with the disc number is of them and not of the
    person. A count moves nothing anyway.
#}
{% macro keeping_actions() -%}
    ('hold_placed', 'hold_lifted', 'identity_checked', 'stored', 'taken_out', 'counted', 'reviewed')
{%- endmacro %}

{# Whether a code is one of several with ';' between, or begins with one of them; of none at all it is not. #}
{% macro is_among_beginnings(code, beginnings) -%}
    {{ adapter.dispatch("is_among_beginnings", "ledgerstone")(code, beginnings) }}
{%- endmacro %}

{% macro default__is_among_beginnings(code, beginnings) -%}
    exists (
        select 1
        from unnest(string_to_array({{ beginnings }}, ';')) as listed (beginning)
        where beginning <> '' and left({{ code }}, length(beginning)) = beginning
    )
{%- endmacro %}

{% macro duckdb__is_among_beginnings(code, beginnings) -%}
    coalesce(
        list_bool_or(list_transform(
            string_split({{ beginnings }}, ';'),
            lambda beginning: beginning <> '' and starts_with({{ code }}, beginning)
        )),
        false
    )
{%- endmacro %}

{# Actions after which the person lies in no storage unit. #}
{% macro unit_leaving_actions() -%}
    (
        'received', 'departed', 'arrived', 'taken_out', 'cremation_finished', 'buried', 'entombed', 'released'
    )
{%- endmacro %}

{# Actions that move the person or hand them over: each needs a band read. #}
{% macro moving_actions() -%}
    (
        'received', 'departed', 'arrived', 'transferred', 'stored', 'taken_out', 'cremation_started', 'buried',
        'entombed', 'released'
    )
{%- endmacro %}

{# A band that was read. Blank: nobody looked. UNREADABLE: it is there and cannot be read. #}
{% macro is_readable(band_number) -%}
    ({{ band_number }} is not null and {{ band_number }} <> 'UNREADABLE')
{%- endmacro %}

{# A check by two people who left the number of identifiers blank: no proof of too few. #}
{% macro is_uncounted_check(records) -%}
    (
        {{ records }}.action = 'identity_checked'
        and {{ records }}.identifiers_matched is null
        and {{ records }}.second_checker is not null
    )
{%- endmacro %}

{#
    The event's giver is not the party that the record left the person with. Whoever hands over is
    named, only the opening receipt may leave it blank; other events may name the holder again.
    An invariant of the open visibility-event model: source of event n+1 is destination of event n.
#}
{% macro is_party_break(event) -%}
    case
        when {{ event }}.action in ('received', 'transferred', 'released')
            then
                {{ event }}.to_party is null
                or (
                    {{ event }}.from_party is distinct from {{ event }}.party_before
                    and {{ event }}.was_opened
                )
        else
            coalesce({{ event }}.from_party <> {{ event }}.party_before, false)
            or coalesce({{ event }}.to_party <> {{ event }}.party_before, false)
    end
{%- endmacro %}

{#
    The event cannot have happened where the record left the person. A leg goes from a place into a
    vehicle (departed) and out of it (arrived); everything else happens where the person is.
    `crematories` is joined on the place before.
#}
{% macro is_place_break(event, crematories) -%}
    case
        when {{ event }}.action = 'departed'
            then
                coalesce({{ event }}.place_given not like 'vehicle:%', true)
                or coalesce({{ event }}.place_before like 'vehicle:%', false)
        when {{ event }}.action = 'arrived'
            then
                coalesce({{ event }}.place_given like 'vehicle:%', true)
                or coalesce({{ event }}.place_before not like 'vehicle:%', true)
        when {{ event }}.action in ('buried', 'entombed', 'released') then false
        when {{ event }}.action = 'received'
            then coalesce({{ event }}.place_given, {{ event }}.place_before) is null
        when coalesce({{ event }}.place_given <> {{ event }}.place_before, false) then true
        when {{ event }}.action = 'cremation_started'
            then
                {{ crematories }}.location_id is null
                and coalesce({{ event }}.place_before not like 'crematory:%', true)
        when
            {{ event }}.action in (
                'stored', 'taken_out', 'embalming_started', 'embalming_finished', 'cremation_finished'
            )
            then coalesce({{ event }}.place_before like 'vehicle:%', false)
        else false
    end
{%- endmacro %}

{#
    Records whose instant lies after the export that tells of them: held back. Such a custody record is no event of a
    chain, for nobody can have been moved by it. Gives file_id and line.
#}
{% macro dated_after_export(feed="custody_events", column="occurred_at") -%}
    select distinct
        file_id,
        line
    from {{ source("quality", "rejects") }}
    where feed = '{{ feed }}' and rule_code = 'dated_after_export' and column_name = '{{ column }}'
{%- endmacro %}

{#
    How many holds stand after an event: those placed less those lifted, where a lifting of a hold that no record places
    takes away none of a later one. The sum so far, and what stands by it: two windows, one over the other.
#}
{% macro holds_summed(events_of_case) -%}
    sum(case action when 'hold_placed' then 1 when 'hold_lifted' then -1 else 0 end)
        over ({{ events_of_case }} rows between unbounded preceding and current row)
{%- endmacro %}

{% macro holds_standing(holds_sum, events_of_case) -%}
    {{ holds_sum }} - least(
        0, min({{ holds_sum }}) over ({{ events_of_case }} rows between unbounded preceding and current row)
    )
{%- endmacro %}
