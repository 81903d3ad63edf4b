{#
    What columns of a feed were before newer exports changed them, oldest first (value_number 1), up to the as-of instant,
    with the record that counts now: the one that took the place of the older, whichever export that is from.
#}
{% macro first_exported(feed, columns) -%}
    select
        outdated.by_file_id as file_id,
        outdated.by_line as line,
        changes.column_name,
        changes.was,
        changes.older_file_id,
        changes.older_line,
        changes.changed_at,
        row_number() over (
            partition by outdated.by_file_id, outdated.by_line, changes.column_name
            order by changes.changed_at, changes.older_file_id, changes.older_line
        ) as value_number
    from {{ source("quality", "changes") }} as changes
    inner join {{ source("quality", "outdated") }} as outdated
        on
            changes.feed = outdated.feed
            and changes.older_file_id = outdated.file_id
            and changes.older_line = outdated.line
    where
        changes.feed = '{{ feed }}'
        and changes.column_name in ('{{ columns | join("', '") }}')
        and changes.was is not null
        and changes.changed_at <= {{ as_of() }}
{%- endmacro %}
