"""A file of a paper written before the developer and the gelatin had laws of their own is read as it would be today."""

from __future__ import annotations

from pathlib import Path

from sim.paper.stock import STOCK_FOLDER, read_stock


def test_an_older_file_reads_as_todays_without_what_is_the_baths(tmp_path: Path) -> None:
    today = (STOCK_FOLDER / "glossy-fb-vc.toml").read_text(encoding="utf-8")
    older = (
        today.replace("fog_per_time = ", "doubling_c = 10.0\nhalf_life_sheets = 60.0\nfog_per_time = ")
        .replace("wet_gelatin_share = 0.2", "dry_down_share = 0.42")
        .replace('"drying.wet_gelatin_share"', '"drying.dry_down_share"', 1)
        .replace("[sources]\n", '[sources]\n"development.doubling_c" = "a rule"\n"development.half_life_sheets" = "a guess"\n')
    )
    assert older.count("doubling_c") == 2
    assert "dry_down_share" in older
    file = tmp_path / "glossy-fb-vc.toml"
    file.write_text(older, encoding="utf-8")
    assert read_stock(file) == read_stock(STOCK_FOLDER / "glossy-fb-vc.toml")
