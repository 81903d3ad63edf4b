select
    location_id,
    item_code,
    opening,
    received,
    arrived,
    returned,
    issued,
    sent,
    written_off,
    expected,
    counted,
    difference
from {{ ref("stock_roll_forward") }}
where
    opening + received + arrived + returned - issued - sent - written_off <> expected
    or counted - expected is distinct from difference
