{#
    What makes it doubtful where somebody is and who it is. Findings of these rules, while open, set
    the certainty of the census: the first say that two records contradict one another, the second
    that identity was left unproven. Codes of the rule catalogue (a test holds them together).
#}
{% macro contradicting_rules() -%}
    (
        'band_on_two_people', 'chamber_shared', 'disc_on_two_people', 'sex_contradicts', 'storage_shared',
        'unit_contradicts'
    )
{%- endmacro %}

{# Of these the two people of a finding share something: of the others a second person's record is evidence alone. #}
{% macro rules_of_two_people() -%}
    (
        'band_on_two_people', 'chamber_shared', 'disc_on_two_people', 'permit_on_two_people',
        'person_on_two_cases', 'similar_names', 'storage_shared'
    )
{%- endmacro %}

{% macro unproving_rules() -%}
    ('band_after_first_move', 'band_unreadable', 'identity_not_checked', 'moved_together_unbanded')
{%- endmacro %}
