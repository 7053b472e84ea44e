"""What `tonewright derive` writes follows from what is written by hand, from nothing else, and stops where a claim breaks."""

from __future__ import annotations

import json
import shutil
from math import log2
from pathlib import Path

import pytest
from night import derive_says_so

from sim.command.main import main
from sim.evening.assignment import Assignment
from sim.marking.bundle import write_bundle
from sim.negative.sleeve import SLEEVE_FOLDER, find_sleeve, read_sleeve
from sim.reading import OutsideError, data_folder
from sim.refusals import Refused
from sim.scoring.checking import negatives_of
from sim.scoring.derived import DERIVED, MANIFEST_FILE, REFERENCE_FILE, filled, read_reference, read_targets
from sim.scoring.exercise_file import exercise_names, find_exercise, read_exercise
from sim.scoring.hints import brief_of
from sim.scoring.trial import read_trials, trials_by_hand
from sim.teaching.worked_example import plan_of
from sim.workshop.derive.lesson import digest_of, made_from
from sim.workshop.derive.negatives_page import with_derived_words
from sim.workshop.derive.run import SLEEVES_FILE, Derived, derive_all
from sim.workshop.derive.sleeves import derived_of, derived_sleeve, pictures

LESSONS = data_folder("lessons")
WHAT_TO_DO = "run `tonewright derive`"
RE_DERIVED = ("time-from-a-strip", "filter-for-a-thin-flat-negative")  # quick ones; more of them beside the tests, by .ci/run


def derived(*folders: Path) -> Derived:
    return derive_all(folders, sleeves=False, jobs=1, progress=lambda name: None)


def copied(name: str, target: Path, *changes: tuple[str, str], file: str = "exercise.toml") -> Path:
    """Return a copy of a lesson with something changed by hand."""
    folder = target / name
    shutil.copytree(LESSONS / name, folder)
    text = (folder / file).read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    (folder / file).write_text(text, encoding="utf-8")
    return folder


@pytest.mark.parametrize("name", exercise_names())
def test_every_lesson_is_derived_from_what_stands_there_today(name: str) -> None:
    """Files as derive wrote them, from the wishes, negative, paper, filters and equipment of today."""
    folder = LESSONS / name / DERIVED
    manifest = json.loads((folder / MANIFEST_FILE).read_text(encoding="utf-8"))
    there = {file.name: digest_of(file.read_bytes()) for file in folder.iterdir() if file.name != MANIFEST_FILE}
    assert there == manifest["files"], f"edited by hand? {WHAT_TO_DO}"
    exercise = read_exercise(LESSONS / name)
    negatives = {negative.name: negative.digest for negative in negatives_of(exercise)}
    assert made_from(LESSONS / name, exercise, negatives) == manifest["made_from"], WHAT_TO_DO


@pytest.mark.parametrize("name", exercise_names())
def test_wishes_and_results_never_share_a_file(name: str) -> None:
    by_hand = {file.name for file in (LESSONS / name).iterdir()}
    texts = {"brief.md", "hints.md", "design.md", "brief.de.md", "hints.de.md"}
    assert by_hand <= {"exercise.toml", "wishes.toml", *texts, "trials", DERIVED}
    assert all("size =" not in file.read_text(encoding="utf-8") for file in (LESSONS / name / "trials").iterdir())


@derive_says_so
@pytest.mark.parametrize("name", RE_DERIVED)
def test_deriving_again_gives_the_same_bytes(name: str) -> None:
    assert derived(LESSONS / name).differences() == []


def test_what_was_derived_before_does_not_matter(tmp_path: Path) -> None:
    """A wish is never computed from a reference: with another lesson's answers in its place the same ones come out."""
    folder = copied("time-from-a-strip", tmp_path)
    shutil.rmtree(folder / DERIVED)
    shutil.copytree(LESSONS / "strip-in-stops" / DERIVED, folder / DERIVED)
    shutil.copy(LESSONS / "strip-in-stops" / DERIVED / REFERENCE_FILE, folder / REFERENCE_FILE)
    ((_, files),) = derived(folder).folders
    original = LESSONS / "time-from-a-strip" / DERIVED
    assert {name: text.encode() for name, text in files.items()} == {f.name: f.read_bytes() for f in original.iterdir()}


def test_a_changed_wish_is_written_out_whole_and_undone_to_the_byte(tmp_path: Path) -> None:
    folder = copied("time-from-a-strip", tmp_path, ("time_s = 3.0", "time_s = 4.0"))
    before = {file.name: file.read_bytes() for file in (folder / DERIVED).iterdir()}
    changed = derived(folder).write()
    assert {line.split(": ")[1] for line in changed} >= {"example.json differs", "manifest.json differs"}
    shutil.copy(LESSONS / "time-from-a-strip" / "exercise.toml", folder)
    derived(folder).write()
    assert {file.name: file.read_bytes() for file in (folder / DERIVED).iterdir()} == before
    assert not [file for file in folder.iterdir() if file.name.startswith(".")]


@pytest.mark.parametrize(
    ("name", "old", "new", "claim"),
    [
        ("filter-for-a-thin-flat-negative", "share = 0.9", "share = 0.25", "inside the range of its control"),
        ("time-from-a-strip", "time_s = 3.0", "time_s = 7.6", "the start does not pass"),
        ("holding-back-a-face", "tolerance_density = 0.06", "tolerance_density = 0.5", "not without a card"),
    ],
)
def test_a_broken_claim_stops_and_nothing_is_written(name: str, old: str, new: str, claim: str, tmp_path: Path) -> None:
    folder = copied(name, tmp_path, (old, new))
    before = {file.name: file.read_bytes() for file in (folder / DERIVED).iterdir()}
    found = derived(folder)
    told = [stop.in_words() for stop in found.stops]
    assert [words for words in told if words.startswith(name) and claim in words and any(c.isdigit() for c in words)], told
    with pytest.raises(Refused, match="nothing is written"):
        found.write()
    assert {file.name: file.read_bytes() for file in (folder / DERIVED).iterdir()} == before


def test_the_verb_says_which_claim_broke_writes_nothing_and_exits_with_findings(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A tone moved by more than its tolerance."""
    folder = copied("time-from-a-strip", tmp_path, ("density = 0.48", "density = 1.05"))
    before = {file.name: file.read_bytes() for file in (folder / DERIVED).iterdir()}
    assert main(["derive", str(folder), "--jobs", "1"]) == 1
    shown = capsys.readouterr().out
    assert "stop: time-from-a-strip: the reference earns full marks" in shown
    assert "nothing was written" in shown
    assert {file.name: file.read_bytes() for file in (folder / DERIVED).iterdir()} == before


def test_check_tells_an_edited_file_and_changes_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = copied("time-from-a-strip", tmp_path)
    file = folder / DERIVED / REFERENCE_FILE
    edited = file.read_text(encoding="utf-8").replace('"f_number": 8.0', '"f_number": 8.00')
    file.write_text(edited, encoding="utf-8")
    assert main(["derive", str(folder), "--check", "--jobs", "1"]) == 1
    assert f"{REFERENCE_FILE} differs" in capsys.readouterr().out
    assert file.read_text(encoding="utf-8") == edited


def test_a_trials_size_is_what_its_change_is_worth() -> None:
    """A burn left out is worth the stops it added, by the light alone; the size was measured on the print's tone."""
    folder = LESSONS / "burning-a-sky"
    base, burn = read_reference(folder)[0].exposures
    size = next(trial.size for trial in read_trials(folder) if trial.name == "no-burn")
    assert size == pytest.approx(log2(1.0 + burn.time_s / base.time_s), abs=0.1)


def test_a_trial_without_a_size_is_refused_with_what_to_do(tmp_path: Path) -> None:
    folder = copied("time-from-a-strip", tmp_path)
    assert trials_by_hand(folder)
    shutil.rmtree(folder / DERIVED)
    with pytest.raises(OutsideError, match="tonewright derive"):
        read_trials(folder)
    with pytest.raises(OutsideError, match="tonewright derive"):
        read_exercise(folder)


def test_targets_are_the_papers_own_ends() -> None:
    """Net 0.07 above white and 0.9 of net black (ISO 6846's ends), on glossy resin-coated paper and on fibre-base."""
    assert read_targets(LESSONS / "filter-for-a-normal-negative") == {"lightest-tone": 0.12, "darkest-tone": 1.9}
    assert read_targets(LESSONS / "developed-to-the-end")["lightest-tone"] == 0.13


def test_a_text_names_derived_numbers_and_nothing_else(tmp_path: Path) -> None:
    folder = copied("time-from-a-strip", tmp_path, ("3. ", "3. Of {sheets} sheets. "), file="brief.md")
    assert "Of 5 sheets." in brief_of(folder).steps[2]
    for bad in ("{reference}", "{sheet_count}"):
        with pytest.raises(OutsideError, match="derived numbers"):
            filled(folder / "brief.md", f"Take {bad}.")
    for kept in ("{0.__class__}", "{sheets.real}", "{sheets!r}", "{}"):
        assert filled(folder / "brief.md", kept) == kept  # no attribute, no index, no format: it stays as it stands
    (folder / "hints.md").write_text("## look at\n\n{no_such_number}\n", encoding="utf-8")
    assert [stop for stop in derived(folder).stops if "no_such_number" in stop.in_words()]


def test_a_bundle_holds_target_densities_and_no_other_derived_thing(tmp_path: Path) -> None:
    folder = copied("filter-for-a-normal-negative", tmp_path, ("2. ", "2. Of {sheets} sheets. "), file="brief.md")
    exercise = read_exercise(folder)
    assignment = Assignment("course", exercise.name, "k01", exercise.negatives, "", 0, exercise.box.sheets, 10.0)
    write_bundle(tmp_path / "bundle", folder, exercise, assignment)
    files = {file.relative_to(tmp_path / "bundle").as_posix() for file in (tmp_path / "bundle").rglob("*")}
    assert files == {"exercise.toml", "assignment.toml", "brief.md", "hints.md", "brief.de.md", "hints.de.md"}
    assert "{" not in (tmp_path / "bundle" / "brief.md").read_text(encoding="utf-8")
    given = read_exercise(tmp_path / "bundle")
    assert [c.wanted for c in given.criteria] == [0.12, 1.9]


@pytest.mark.parametrize("name", RE_DERIVED)
def test_the_derived_example_is_the_strip_that_the_lesson_shows(name: str) -> None:
    example = json.loads((LESSONS / name / DERIVED / "example.json").read_text(encoding="utf-8"))
    exercise = find_exercise(name)[1]
    shown = plan_of("completion", exercise, negatives_of(exercise), read_reference(LESSONS / name))[0].record.strip
    assert shown is not None
    assert example["strip"]["times_s"] == [round(time_s, 2) for time_s in shown.times_s]
    assert 1 < example["strip"]["right_step"] < len(shown.times_s)


def claims_of_sleeves() -> dict[str, dict[str, object]]:
    data = json.loads((SLEEVE_FOLDER / DERIVED / SLEEVES_FILE).read_text(encoding="utf-8"))
    return data["sleeves"]  # type: ignore[no-any-return]


def test_every_sleeve_has_its_claims_measured() -> None:
    found = claims_of_sleeves()
    assert sorted(found) == sorted(pictures())
    for name, facts in found.items():
        sleeve = find_sleeve(name)
        assert set(sleeve.looks) <= set(facts["looks"])  # type: ignore[call-overload]
        assert not set(sleeve.owed) & set(facts["looks"])  # type: ignore[call-overload]


@derive_says_so
@pytest.mark.parametrize("name", ["racks-thin", "shelf-overcooked"])
def test_a_sleeves_claims_measured_again_are_the_same(name: str) -> None:
    facts, stops = derived_sleeve(name)
    assert stops == ()
    assert facts == claims_of_sleeves()[name]


@pytest.mark.parametrize(
    ("old", "new", "claim"),
    [
        ('looks = ["thin", "flat"]', 'looks = ["dense"]', "is dense"),
        ('looks = ["thin", "flat"]', 'looks = ["thin"]\nowed = ["flat"]', "is not yet flat"),
        ('filter = "4"', 'filter = "1"', "wants filter 1"),
        ('filter = "4"', "single_exposure = false", "no single exposure holds it"),
        ('filter = "4"', 'filter = "4"\nscene_stops = 2.0', "2 stops from end to end"),
    ],
)
def test_an_untrue_word_on_a_sleeve_stops(old: str, new: str, claim: str, tmp_path: Path) -> None:
    text = (SLEEVE_FOLDER / "racks-thin.toml").read_text(encoding="utf-8")
    assert old in text
    file = tmp_path / "racks-thin.toml"
    file.write_text(text.replace(old, new), encoding="utf-8")
    _, stops = derived_of(read_sleeve(file))
    assert [stop for stop in stops if claim in stop.claim], stops


@pytest.mark.parametrize("name", pictures())
def test_the_page_of_negatives_says_what_the_sleeve_says(name: str) -> None:
    sleeve = find_sleeve(name)
    facts = json.loads((SLEEVE_FOLDER / DERIVED / SLEEVES_FILE).read_text(encoding="utf-8"))["sleeves"][name]
    held = f"One exposure holds it: filter {facts['filter']}."
    straight = held if facts["one_exposure_holds"] else "No single exposure holds it."
    assert f"{sleeve.teaches} {straight}" in (LESSONS / "negatives.md").read_text(encoding="utf-8")


def test_the_page_of_negatives_gets_the_sleeves_words_and_the_derived_filter_and_keeps_all_else() -> None:
    page = (
        "# Page\n\n### A shelf (`shelf`)\n\nOld words. One exposure holds it: filter 2.5.\n\n![a](b)\n\n"
        "### A yard (`yard`)\n\nWords. One exposure holds it: filter 5.\n"
    )
    words = {"shelf": "Words of it."}
    told = with_derived_words(page, words, {"shelf": {"filter": "00", "one_exposure_holds": True}})
    assert told == page.replace("Old words.", "Words of it.").replace("filter 2.5.", "filter 00.")
    none = with_derived_words(told, words, {"shelf": {"filter": "00", "one_exposure_holds": False}})
    assert none == told.replace("One exposure holds it: filter 00.", "No single exposure holds it.")
