-- One per case and paper, whatever acts it is for. An authorisation or an instruction may be given in life.
with papers as (
    select distinct
        case_number,
        location_id,
        paper,
        paper_at_local,
        paper_date,
        case_file_id as file_id,
        case_line as line
    from {{ ref("int_case_papers") }}
    where paper_state = 'before death'
)

select
    {{ finding(
        "paper_before_death",
        case_number="papers.case_number",
        location_id="papers.location_id",
        occurred_at="cast(papers.paper_date as timestamp)",
        a="papers", feed_a="cases",
        detail="'The ' || papers.paper || ' is of ' || coalesce(" ~ minute_text("papers.paper_at_local")
            ~ ", cast(papers.paper_date as varchar)) || '; the person died on ' || cast(cases.date_of_death_earliest as varchar)"
            ~ " || case when cases.date_of_death_earliest < cases.date_of_death_latest then ' or later' else '' end || '.' || "
            ~ held_back_note("cases.is_held")
    ) }}
from papers
inner join {{ ref("int_cases") }} as cases
    on papers.case_number = cases.case_number
