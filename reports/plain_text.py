"""Text made harmless for a spreadsheet, in SQL, so that a download of any size is streamed.

``shown(x)`` puts a visible code in the place of each control or direction mark; ``harmless(x)``
adds an apostrophe before text that a spreadsheet would run as a formula. Numbers are never touched:
the callers apply both to VARCHAR columns only.
"""

#: Marks that a page or a spreadsheet does not print but obeys: C0 and C1 controls, soft hyphen,
#: Arabic letter mark, zero-width and direction marks, separators, isolates, byte-order mark, tags.
#: Tab and line breaks are among them: a quoted line break splits rows in weaker readers.
_RANGES = (
    (0x00, 0x1F), (0x7F, 0x9F), (0xAD, 0xAD), (0x61C, 0x61C), (0x200B, 0x200F), (0x2028, 0x202E),
    (0x2060, 0x2064), (0x2066, 0x206F), (0xFEFF, 0xFEFF), (0xFFF9, 0xFFFB), (0xE0000, 0xE007F),
)  # fmt: skip
_CLASS = "[" + "".join(f"\\x{{{low:X}}}-\\x{{{high:X}}}" for low, high in _RANGES) + "]"

#: Characters that start a formula in common spreadsheets, with their full-width twins
#: (OWASP, CSV Injection: = + - @ tab carriage-return; full-width forms in the same list).
_FORMULA = r"^\s*[=+\-@＝＋－＠]"

MACROS = (
    # The letters are looked at one by one only where there is such a mark.
    f"""create temp macro shown(x) as case when regexp_matches(x, '{_CLASS}') then array_to_string(
        list_transform(string_split(x, ''), lambda c: case when regexp_matches(c, '{_CLASS}')
            then format('[U+{{:04X}}]', unicode(c)) else c end), '')
        else x end""",
    f"create temp macro harmless(x) as case when regexp_matches(x, '{_FORMULA}') "
    "then '''' || shown(x) else shown(x) end",
)
