{# Personal names: one form of them to compare, and how alike two are. #}

{#
    A name without what people write differently: small letters, no accents, no apostrophes, and one
    space for whatever stands between words. Letters that an accent's removal leaves are spelled out.
#}
{% macro folded_name(name) -%}
    trim({{ adapter.dispatch("letters_and_spaces", "ledgerstone")(
        "replace(replace(replace(replace(translate("
        ~ adapter.dispatch("without_accents", "ledgerstone")("lower(" ~ name ~ ")")
        ~ ", 'łøđðı''’‘ʼʻ`´', 'loddi'), 'ß', 'ss'), 'æ', 'ae'), 'œ', 'oe'), 'þ', 'th')"
    ) }})
{%- endmacro %}

{% macro default__without_accents(expression) -%}
    unaccent({{ expression }})
{%- endmacro %}

{% macro duckdb__without_accents(expression) -%}
    strip_accents({{ expression }})
{%- endmacro %}

{% macro default__letters_and_spaces(expression) -%}
    {{ replace_pattern(expression, "[^[:alpha:]]+", " ") }}
{%- endmacro %}

{# There the class above is that of ASCII. #}
{% macro duckdb__letters_and_spaces(expression) -%}
    {{ replace_pattern(expression, "[^\\p{L}]+", " ") }}
{%- endmacro %}

{# A text with every match of a regular expression replaced. #}
{% macro replace_pattern(expression, pattern, replacement) -%}
    {{ adapter.dispatch("replace_pattern", "ledgerstone")(
        expression, "'" ~ pattern ~ "'", "'" ~ replacement ~ "'"
    ) }}
{%- endmacro %}

{% macro default__replace_pattern(expression, pattern, replacement) -%}
    regexp_replace({{ expression }}, {{ pattern }}, {{ replacement }}, 'g')
{%- endmacro %}

{#
    A folded name without the words that are written or left out at will: particles, "saint", and
    what follows a name (common practice, no source). A name of nothing else is kept.
#}
{% macro without_particles(folded) -%}
    {%- set particles = [
        "van", "von", "vom", "der", "den", "ter", "ten", "zu", "zur", "zum", "de", "del", "della", "di", "da", "das",
        "do", "dos", "du", "des", "la", "las", "le", "les", "los", "al", "el", "bin", "bint", "ibn", "af", "av", "y",
        "st", "ste", "saint", "sainte", "jr", "sr", "ii", "iii", "iv"
    ] -%}
    {%- set bare = replace_pattern("' ' || " ~ folded ~ " || ' '", "( (" ~ particles | join("|") ~ "))+ ", " ") -%}
    case
        when {{ folded }} like '% %' then coalesce(nullif(trim({{ bare }}), ''), {{ folded }})
        else {{ folded }}
    end
{%- endmacro %}

{#
    American Soundex of a folded name, as the US National Archives describe it: letters of one code
    side by side, or with h or w between them, count once; with a vowel between them twice. A name
    without a letter of a to z is its own code.
#}
{% macro sound_code(name) -%}
    {%- set letters = "replace(" ~ name ~ ", ' ', '')" -%}
    {%- set first = "substr(" ~ letters ~ ", 1, 1)" -%}
    {%- set rest = "substr(" ~ letters ~ ", 2)" -%}
    {%- set coded = namespace(
        sql="translate(" ~ first ~ ", 'hwaeiouybfpvcgjkqsxzdtlmnr', '00000000111122222222334556') || translate(" ~ rest
        ~ ", 'aeiouybfpvcgjkqsxzdtlmnrhw', '000000111122222222334556')"
    ) -%}
    {%- for code in ["1", "2", "3", "4", "5", "6"] -%}
    {%- set coded.sql = replace_pattern(coded.sql, code ~ code ~ "+", code) -%}
    {%- endfor -%}
    case
        when {{ first }} between 'a' and 'z'
            then upper({{ first }}) || substr(replace(substr({{ coded.sql }}, 2), '0', '') || '000', 1, 3)
        else {{ letters }}
    end
{%- endmacro %}

{# Jaro-Winkler likeness of two texts, 0 to 1: scale 0.1, at most four letters of a common beginning. #}
{% macro jaro_winkler(name, other) -%}
    {{ adapter.dispatch("jaro_winkler", "ledgerstone")(name, other) }}
{%- endmacro %}

{# An engine without the function gets one of that name from whoever runs it. #}
{% macro default__jaro_winkler(name, other) -%}
    jaro_winkler_similarity({{ name }}, {{ other }})
{%- endmacro %}

{# The same for two folded names: the same letters are 1, none on one side is 0. #}
{% macro name_likeness(name, other) -%}
    case
        when {{ name }} = {{ other }} then {{ to_double("1") }}
        when {{ name }} = '' or {{ other }} = '' then {{ to_double("0") }}
        else {{ jaro_winkler(name, other) }}
    end
{%- endmacro %}

{#
    Whether one of the names signed is one of several, both with ';' between: small and capital letters, accents,
    punctuation, the order of the words and words that the other leaves out do not count, for one desk writes the family
    name first, another the second name or "(daughter)".
#}
{% macro is_among_names(signed, names) -%}
    {{ adapter.dispatch("is_among_names", "ledgerstone")(signed, names) }}
{%- endmacro %}

{% macro default__is_among_names(signed, names) -%}
    exists (
        select 1
        from unnest(string_to_array({{ names }}, ';')) as one (written)
        cross join unnest(string_to_array({{ signed }}, ';')) as other (written)
        where
            {{ words_of_name("one.written") }} @> {{ words_of_name("other.written") }}
            or {{ words_of_name("other.written") }} @> {{ words_of_name("one.written") }}
    )
{%- endmacro %}

{% macro duckdb__is_among_names(signed, names) -%}
    list_bool_or(list_transform(
        string_split({{ names }}, ';'),
        lambda written: list_bool_or(list_transform(
            string_split({{ signed }}, ';'),
            lambda other: list_has_all({{ words_of_name("written") }}, {{ words_of_name("other") }})
            or list_has_all({{ words_of_name("other") }}, {{ words_of_name("written") }})
        ))
    ))
{%- endmacro %}

{# The words of a name, letters and digits alone. #}
{% macro words_of_name(written) -%}
    {{ adapter.dispatch("words_of_name", "ledgerstone")(
        adapter.dispatch("without_accents", "ledgerstone")("lower(" ~ written ~ ")")
    ) }}
{%- endmacro %}

{% macro default__words_of_name(written) -%}
    string_to_array(trim({{ replace_pattern(written, "[^[:alnum:]]+", " ") }}), ' ')
{%- endmacro %}

{% macro duckdb__words_of_name(written) -%}
    string_split(trim({{ replace_pattern(written, "[^\\p{L}\\p{N}]+", " ") }}), ' ')
{%- endmacro %}
