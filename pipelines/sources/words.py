"""The words of a source in ours, as SQL over the text of one column."""

from pipelines.sources.reading import Reading
from pipelines.sqltext import literal


def in_our_words(name: str, text: str, how: Reading) -> str:
    """The text with the source's blank words, codes, fixed values and own numbers resolved."""
    if words := how.blank_words.get(name):
        text = f"case when {text} in ({', '.join(map(literal, words))}) then null else {text} end"
    if codes := how.codes.get(name):
        whens = " ".join(f"when {literal(a)} then {literal(b)}" for a, b in codes.items())
        text = f"case {text} {whens} else {text} end"
    if name in how.fill:
        text = f"coalesce({text}, {literal(how.fill[name])})"
    if name in how.own:
        text = f"{literal(how.source + '/')} || {text}"
    return text
