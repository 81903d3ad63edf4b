-- Nothing is lost: every physical line and every record of a file is in exactly one place.
select
    file_name,
    total_lines,
    header_lines,
    blank_lines,
    record_lines,
    unreadable_lines,
    records_read,
    accepted,
    held_back,
    repeated,
    replaced,
    vanished,
    unreadable
from {{ source("quality", "file_accounts") }}
where
    total_lines <> header_lines + blank_lines + record_lines + unreadable_lines
    or records_read <> accepted + held_back + repeated + replaced + vanished + unreadable
