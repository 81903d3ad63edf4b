"""The committed drop can be made again, byte for byte, with any number of threads."""

from pathlib import Path

import pytest

from pipelines.demo_group import LARGEST, TILE, Drop, generate
from pipelines.demo_group import drop as making
from pipelines.demo_group.__main__ import main

SEED = Path(__file__).parents[2] / "seed_csv"


def contents(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in sorted(folder.rglob("*.csv"))}


def test_the_generator_remakes_the_committed_drop_byte_for_byte(small_drop: Drop) -> None:
    committed = contents(SEED / "drop") | {"answer_key.csv": (SEED / "answer_key.csv").read_bytes()}
    assert contents(small_drop.folder.parent) == committed


def test_two_runs_and_two_thread_counts_give_the_same_bytes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(making, "BLOCK", TILE)
    for threads in (1, 3):
        generate(tmp_path / str(threads), cases=4 * TILE + 7, threads=threads, with_plants=False)
    assert contents(tmp_path / "1") == contents(tmp_path / "3")


def test_the_size_of_a_block_changes_the_order_of_records_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    generate(tmp_path / "whole", cases=3 * TILE, with_plants=False)
    monkeypatch.setattr(making, "BLOCK", TILE)
    generate(tmp_path / "blocks", cases=3 * TILE, with_plants=False)
    whole, blocks = contents(tmp_path / "whole"), contents(tmp_path / "blocks")
    assert {name: sorted(text.split(b"\n")) for name, text in whole.items()} == {
        name: sorted(text.split(b"\n")) for name, text in blocks.items()
    }


def test_larger_drops_begin_with_the_same_people(small_drop: Drop, lawful_drop: Drop) -> None:
    def first_case(drop: Drop) -> str:
        return drop.files["cases"].read_text(encoding="utf-8").splitlines()[1].split(",")[0]

    assert first_case(small_drop) == first_case(lawful_drop) == "AL-26-0001"


def test_no_parts_are_left_behind(small_drop: Drop) -> None:
    left = {path.name for path in small_drop.folder.parent.iterdir()}
    assert left == {"drop", "answer_key.csv"}


@pytest.mark.parametrize("cases", [0, TILE - 1, LARGEST + 1])
def test_a_size_that_cannot_be_made_is_refused_with_the_sizes_that_can(
    tmp_path: Path, cases: int
) -> None:
    with pytest.raises(ValueError, match=f"from {TILE} to {LARGEST}"):
        generate(tmp_path, cases)


def test_the_command_refuses_a_wrong_size_with_exit_code_2(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.argv", ["demo_group", str(tmp_path), "--cases", "5"])
    with pytest.raises(SystemExit) as left:
        main()
    assert left.value.code == 2
    assert "from 480 to 3000000" in capsys.readouterr().err
