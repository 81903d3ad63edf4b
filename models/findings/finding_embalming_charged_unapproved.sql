-- 16 CFR 453.5(a): a fee for embalming needs prior approval, or a law that requires embalming. Another firm asks its
-- own family.
with judged as (
    select
        charges.*,
        embalmings.started_at,
        case
            when cases.embalming_approved_date is null then 'no approval is on the case.'
            when cases.embalming_approved_at > embalmings.started_at
                then
                    'approval is of ' || {{ minute_text(local_time("cases.embalming_approved_at", "cases.time_zone")) }}
                    || ', after the start at '
                    || {{ minute_text(local_time("embalmings.started_at", "cases.time_zone")) }}
                    || ' (clock of the arranging home).'
            -- On one day a date alone proves nothing either way; that is a finding of papers.
            when cases.embalming_approved_at is null and cases.embalming_approved_date > embalmings.started_date
                then
                    'approval is of ' || cast(cases.embalming_approved_date as varchar) || ', after the start on '
                    || cast(embalmings.started_date as varchar) || '.'
        end as fault
    from {{ ref("int_embalming_charges") }} as charges
    inner join {{ ref("int_cases") }} as cases
        on charges.case_number = cases.case_number and not cases.is_held
    left join {{ ref("int_embalmings") }} as embalmings
        on charges.case_number = embalmings.case_number
    where
        not charges.is_required_by_law
        and not cases.is_trade_call
        -- Of a package the family need not have taken the embalming.
        and (not charges.is_in_package or embalmings.case_number is not null)
)

select
    {{ finding(
        "embalming_charged_unapproved",
        case_number="judged.case_number",
        location_id="judged.location_id",
        occurred_at="cast(judged.document_date as timestamp)",
        a="judged",
        feed_a="statement_lines",
        b="cases",
        feed_b="cases",
        measured_value="judged.line_total",
        value_unit="usd",
        detail="'Document ' || judged.document_number || ' bills '
            || case when judged.is_in_package then 'a package with ' else '' end
            || 'embalming of case ' || judged.case_number
            || '; ' || judged.fault"
    ) }}
from judged
inner join {{ ref("int_cases") }} as cases
    on judged.case_number = cases.case_number and not cases.is_held
where judged.fault is not null
