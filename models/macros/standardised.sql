{#
    Direct standardisation: what share each place would have if it had everybody's mix. `counts`
    names a relation with place, stratum, events and trials (one row each); `standard` one with
    stratum and weight. Only strata that a place has count, with their weights made whole again;
    covered_share says how much of the standard that is. The standard error is binomial within
    strata. Gives place, events, trials, crude_share, standardised_share, standard_error,
    covered_share, stratum_count.
#}
{% macro directly_standardised(counts, standard) -%}
    select
        counts.place,
        sum(counts.events) as events,
        sum(counts.trials) as trials,
        sum({{ to_double("counts.events") }}) / sum(counts.trials) as crude_share,
        sum(standard.weight * {{ to_double("counts.events") }} / counts.trials) / sum(standard.weight)
            as standardised_share,
        sqrt(sum(
            standard.weight * standard.weight * ({{ to_double("counts.events") }} / counts.trials)
            * greatest(1 - {{ to_double("counts.events") }} / counts.trials, 0) / counts.trials
        )) / sum(standard.weight) as standard_error,
        sum(standard.weight) / max(standards.weight) as covered_share,
        count(*) as stratum_count
    from {{ counts }} as counts
    inner join {{ standard }} as standard
        on counts.stratum = standard.stratum
    cross join (
        select sum(weight) as weight
        from {{ standard }}
    ) as standards
    where counts.trials > 0
    group by counts.place
{%- endmacro %}
