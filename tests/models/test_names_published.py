"""Likeness and sound code of names against published values."""

from collections.abc import Iterable

import pytest

from tests.models.conftest import EmptyBuild

#: Jaro-Winkler, scale 0.1 and at most four letters. The first three: US Census Bureau, Statistical
#: Research Report RR94-5, table 2.1, as read in open-source test data; the fourth from open-source
#: test data. All recomputed by hand from the counts of common letters and transpositions.
JARO_WINKLER = {
    ("martha", "marhta"): 0.961,
    ("shackleford", "shackelford"): 0.982,
    ("dunningham", "cunnigham"): 0.896,
    ("dixon", "dicksonx"): 0.813,
    # More of the same table, those on which its editions agree.
    ("nichleson", "nichulson"): 0.956,
    ("jones", "johnson"): 0.832,
    ("massey", "massie"): 0.933,
    ("abroms", "abrams"): 0.922,
    ("jeraldine", "geraldine"): 0.926,
    ("michelle", "michael"): 0.921,
    ("julies", "julius"): 0.933,
    ("tanya", "tonya"): 0.880,
    ("sean", "susan"): 0.805,
    ("jon", "john"): 0.933,
}

#: US National Archives, leaflet on the Soundex of the census. Ashcraft shows its rule on h and w
#: (from memory, worked by hand: a - s2 (h) c2 count once, r6, f1).
SOUND_CODES = {
    "washington": "W252", "lee": "L000", "gutierrez": "G362", "pfister": "P236", "jackson": "J250",
    "tymczak": "T522", "kuhne": "K500", "ebell": "E140", "ebelson": "E142", "kelly": "K400",
    "buerck": "B620", "lloyd": "L300", "schaefer": "S160", "ashcraft": "A261",
}  # fmt: skip

#: Our own: one form of a name, worked by hand.
FOLDED = {
    "Nguyễn-Hale": "nguyen hale",
    "O’Carrow": "ocarrow",
    "D'Ormonde": "dormonde",
    "Łukowiec": "lukowiec",
    "Yılmazer": "yilmazer",
    "  von   ARLEN ": "arlen",
    "de la Marsh": "marsh",
    "St. Arden": "arden",
    "van der Meer-Po": "meer po",
    "Groß": "gross",
    "La": "la",
    "טלמור": "טלמור",
    "--": "",
}


def _listed(texts: Iterable[tuple[str, ...]]) -> str:
    rows = ", ".join("(" + ", ".join(_quoted(t) for t in row) + ")" for row in texts)
    return f"(values {rows})"


def _quoted(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


def test_likeness_is_that_of_the_published_pairs(empty_build: EmptyBuild) -> None:
    rows = empty_build.rows(
        "select a, b, {{ name_likeness('a', 'b') }}, {{ name_likeness('b', 'a') }}"
        f" from {_listed(JARO_WINKLER)} as pairs (a, b)"
    )
    assert len(rows) == len(JARO_WINKLER)
    for a, b, likeness, reversed_likeness in rows:
        assert likeness == pytest.approx(JARO_WINKLER[a, b], abs=0.0006), (a, b)
        assert reversed_likeness == pytest.approx(likeness), (a, b)


def test_no_name_is_like_no_name_and_unlike_any(empty_build: EmptyBuild) -> None:
    assert empty_build.rows(
        """select {{ name_likeness("''", "''") }}, {{ name_likeness("'lee'", "''") }}"""
    ) == [(1.0, 0.0)]


def test_sound_codes_are_those_of_the_national_archives(empty_build: EmptyBuild) -> None:
    names = _listed([(name,) for name in SOUND_CODES])
    rows = empty_build.rows(
        f"select name, {{{{ sound_code('name') }}}} from {names} as names (name)"
    )
    assert dict(rows) == SOUND_CODES


def test_a_name_without_latin_letters_is_its_own_sound_code(empty_build: EmptyBuild) -> None:
    assert empty_build.rows("""select {{ sound_code("'טלמור'") }}""") == [("טלמור",)]


def test_names_are_compared_without_what_people_write_differently(empty_build: EmptyBuild) -> None:
    names = _listed([(name,) for name in FOLDED])
    words = f"select name, {{{{ folded_name('name') }}}} as words from {names} as names (name)"
    rows = empty_build.rows(
        f"select name, {{{{ without_particles('words') }}}} from ({words}) as folded"
    )
    assert dict(rows) == FOLDED
